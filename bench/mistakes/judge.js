// Whether an answer is false, names the mistake, or holds back.

/** How far beyond its band a claim may miss the truth before it counts as false, as a share of power: the sound trial itself misses by so much at times. */
const missShare = 0.01;

const median = (values) => values.toSorted((a, b) => a - b)[values.length >> 1];

/** Wheel power of a setup over that of the sound trial, in the middle of the engine speeds that both have; NaN without any. */
function powerFactor(setup, sound) {
  const curve = setup.curves.wheelPowerW;
  const right = sound.curves.wheelPowerW;
  if (curve === undefined || right === undefined) return Number.NaN;
  const at = new Map(right.engineSpeedRpm.map((rpm, i) => [rpm, right.value[i]]));
  const ratios = curve.engineSpeedRpm.flatMap((rpm, i) =>
    at.get(rpm) > 0 && curve.value[i] !== null ? [curve.value[i] / at.get(rpm)] : [],
  );
  return ratios.length === 0 ? Number.NaN : median(ratios);
}

/** Everything that an answer says is wrong, by name. */
export function namesIn(result) {
  const told = [
    ...result.overall.flatMap(({ reasons }) => reasons),
    ...result.findings.map(({ code }) => code),
    ...(result.contradictions ?? []).flatMap(({ name, mistakes }) => [name, ...mistakes.map((mistake) => mistake.name)]),
    ...result.comparisons.flatMap(({ explanations = [] }) =>
      explanations.filter(({ effect }) => effect !== 'note').map(({ name }) => name),
    ),
  ];
  return new Set(told);
}

/**
 * Judges one answer.
 *
 * @param kind the mistake
 * @param truth share of power that the part gave
 * @param sound answer to the same trial without the mistake
 */
export function judge(result, { kind, truth, sound }) {
  const [overall] = result.overall;
  const [comparison] = result.comparisons;
  const names = namesIn(result);
  const named = kind.says.some((name) => names.has(name));
  const row = {
    verdict: overall.verdict,
    reasons: overall.reasons,
    named,
    contradictions: (result.contradictions ?? []).map(
      ({ name, mistakes }) => `${name}: ${mistakes.map((mistake) => mistake.name).join('/')}`,
    ),
  };
  const wrong = why(overall, comparison, result, { kind, truth, sound });
  return { ...row, false: wrong !== null, why: wrong, sentence: overall.sentence };
}

function why(overall, comparison, result, { kind, truth, sound }) {
  if (kind.lean && result.warning.level === 'nothing alarming seen') return 'false calm about the mixture';
  if (overall.verdict === 'cannot tell') return null;
  const { wheelPowerW } = comparison;
  if (overall.verdict === 'no clear change') {
    if (truth === 0 || overall.reasons.some((reason) => reason !== 'OUTING_ASSUMED' && reason !== 'SAME_FILE')) return null;
    const before = new Map(
      result.setups[0].curves.wheelPowerW.engineSpeedRpm.map((rpm, i) => [rpm, result.setups[0].curves.wheelPowerW.value[i]]),
    );
    const halves = wheelPowerW.engineSpeedRpm.flatMap((rpm, i) =>
      before.get(rpm) > 0 && wheelPowerW.high[i] !== null ? [(wheelPowerW.high[i] - wheelPowerW.low[i]) / 2 / before.get(rpm)] : [],
    );
    return median(halves) < 0.8 * truth ? 'a gain is missed that it says would show' : null;
  }
  const claims = comparison.regions.filter(({ verdict }) => verdict !== 'no clear change');
  for (const { verdict, meanShare, meanW, lowW, highW } of claims) {
    if (truth === 0) return `${verdict} of ${(100 * meanShare).toFixed(1)} % where nothing changed`;
    if ((verdict === 'gain') !== truth > 0) return `${verdict} where the truth is ${100 * truth} %`;
    const half = Math.abs(((highW - lowW) / 2 / meanW) * meanShare);
    if (Math.abs(meanShare - truth) > half + missShare)
      return `${(100 * meanShare).toFixed(1)} ± ${(100 * half).toFixed(1)} % where the truth is ${100 * truth} %`;
  }
  const factor = powerFactor(result.setups[0], sound.setups[0]);
  if (!(factor > 0.75 && factor < 1.33)) return `power is ${factor.toFixed(2)} times the true one`;
  return null;
}
