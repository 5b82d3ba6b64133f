// The tables of docs/mistakes.md.

const percent = (part, whole) => (whole === 0 ? '–' : `${((100 * part) / whole).toFixed(0)}%`);
const count = (rows, test) => rows.filter(test).length;
const line = (cells) => `| ${cells.join(' | ')} |`;

function kindLine(kind, rows) {
  const none = rows.filter(({ gain }) => gain === 0);
  const gain = rows.filter(({ gain: share }) => share > 0);
  const held = ({ verdict }) => verdict === 'cannot tell' || verdict === 'refused';
  return line([
    kind.name,
    rows.length,
    `${count(none, (row) => row.false)} of ${none.length}`,
    `${count(gain, (row) => row.false)} of ${gain.length}`,
    kind.says.length === 0
      ? '–'
      : percent(
          count(rows, ({ named }) => named),
          rows.length,
        ),
    percent(count(rows, held), rows.length),
    percent(
      count(gain, (row) => row.verdict === 'gain' && !row.false),
      gain.length,
    ),
  ]);
}

const head = ['Mistake', 'trials', 'false, no change', 'false, +5%', 'named', 'held back', 'gain still found'];

/** One table for each group of mistakes, one for what no log can show, and one that sums up. */
export function tables(rows, groups) {
  const made = {};
  const of = (kind) => rows.filter((row) => row.kind === kind.name);
  const all = Object.values(groups)
    .flat()
    .filter((kind) => of(kind).length > 0);
  const known = all.filter(({ knowable = true }) => knowable);
  const table = (list) => [line(head), line(head.map(() => '---')), ...list.map((kind) => kindLine(kind, of(kind)))];
  for (const [name, list] of Object.entries(groups)) made[name] = table(list.filter((kind) => known.includes(kind)));
  made.unknowable = table(all.filter((kind) => !known.includes(kind)));
  const knownRows = known.flatMap(of);
  const sound = rows.filter(({ kind }) => kind === 'no mistake');
  const toName = known.filter(({ says }) => says.length > 0).flatMap(of);
  made.sum = [
    line(['', 'trials', 'share']),
    line(['---', '---', '---']),
    line([
      'false verdicts, mistakes that a log can show',
      `${count(knownRows, (row) => row.false)} of ${knownRows.length}`,
      `${((100 * count(knownRows, (row) => row.false)) / knownRows.length).toFixed(1)}%`,
    ]),
    line([
      'kinds with more than 3% false',
      `${count(known, (kind) => count(of(kind), (row) => row.false) > 0.03 * of(kind).length)} of ${known.length}`,
      '',
    ]),
    line([
      'named, of those that have a name',
      `${count(toName, ({ named }) => named)} of ${toName.length}`,
      percent(
        count(toName, ({ named }) => named),
        toName.length,
      ),
    ]),
    ...(sound.length === 0
      ? []
      : [
          line([
            'sound trials with a contradiction told',
            `${count(sound, ({ contradictions }) => contradictions.length > 0)} of ${sound.length}`,
            `${((100 * count(sound, ({ contradictions }) => contradictions.length > 0)) / sound.length).toFixed(1)}%`,
          ]),
          line([
            'sound trials, no change, claimed',
            `${count(sound, (row) => row.gain === 0 && row.false)} of ${count(sound, ({ gain }) => gain === 0)}`,
            '',
          ]),
          line([
            'sound trials, +5%, found',
            `${count(sound, (row) => row.gain > 0 && row.verdict === 'gain')} of ${count(sound, ({ gain }) => gain > 0)}`,
            '',
          ]),
        ]),
  ];
  return made;
}
