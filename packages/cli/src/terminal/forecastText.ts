import type { BandedNumber, ForecastResult } from '@pullproof/core';
import { displayUnits, numberText } from '@pullproof/figures';
import { closingLines } from './closingText.js';
import { inertText } from './inertText.js';
import { table, wrapped } from './layout.js';
import { type Style, shownBy } from './style.js';

const methodWords: Readonly<Record<ForecastResult['forecasts'][number]['method'], string>> = {
  'constant-power': 'limit of constant power',
  'huntington-1958': 'rule of Huntington, 1958',
  hale: 'rule of Hale',
  simulated: 'simulated',
  'simulated-learned': 'simulated, learned',
};

/** A forecast as text for a terminal; everything in it comes from the result. */
export function forecastText(result: ForecastResult, style: Style, report: string | null): string {
  const plain = (text: string, longest?: number): string => shownBy(inertText(text, longest), style);
  const { speed } = displayUnits[result.units];
  const at = (mps: number): string => numberText(speed.fromSi(mps), 1);
  const range = ({ low, high }: BandedNumber, show: (value: number) => string): string =>
    low === high ? '' : `${show(low)} to ${show(high)}`;
  const time = (value: number): string => numberText(value, 2);
  const signed = (value: number, digits: number): string => numberText(value, digits, { signed: true });
  const setups = [...new Set(result.forecasts.map(({ setup }) => setup))];
  const lines = [...wrapped(plain(result.title, 200), style.width).map(style.bold), ''];
  if (result.day !== null) {
    const { airDensityKgPerM3, densityAltitudeM, source } = result.day;
    lines.push(
      ...wrapped(
        plain(`For air of ${numberText(airDensityKgPerM3, 3)} kg/m³ (density altitude ${numberText(densityAltitudeM, 0)} m): ${source}.`),
        style.width,
      ),
      '',
    );
  }
  for (const setup of setups) {
    const own = result.forecasts.filter((forecast) => forecast.setup === setup);
    const rows = own.map(({ method, etS, trapMps }) => [
      methodWords[method],
      time(etS.value),
      range(etS, time),
      at(trapMps.value),
      range(trapMps, at),
    ]);
    lines.push(
      ...wrapped(plain(setup, 60), style.width).map(style.bold),
      ...table(
        [
          { title: 'quarter mile', flexible: true },
          { title: 's', align: 'right' },
          { title: '95 % band', align: 'right' },
          { title: speed.symbol, align: 'right' },
          { title: '95 % band', align: 'right' },
        ],
        rows.map((row) => row.map((cell) => plain(cell))),
        style,
      ),
    );
    const best = own.at(-1);
    if (best !== undefined && best.splits.length > 0)
      lines.push(
        ...wrapped(
          plain(`splits: ${best.splits.map(({ mark, timeS }) => `${mark} ${time(timeS.value)}`).join(', ')} s`),
          style.width,
          '  ',
        ),
      );
    lines.push('');
  }
  if (result.worth.length > 0) {
    const rows = result.worth.map(({ change, etS, trapMps }) => [
      change,
      `${signed(etS.value, 2)} (${signed(etS.low, 2)} to ${signed(etS.high, 2)})`,
      `${signed(speed.fromSi(trapMps.value), 1)} (${signed(speed.fromSi(trapMps.low), 1)} to ${signed(speed.fromSi(trapMps.high), 1)})`,
    ]);
    lines.push(
      style.bold('What a change is worth here'),
      ...table(
        [
          { title: 'change', flexible: true },
          { title: 's', align: 'right' },
          { title: speed.symbol, align: 'right' },
        ],
        rows.map((row) => row.map((cell) => plain(cell, 60))),
        style,
      ),
      '',
    );
  }
  for (const slip of result.slips) {
    const { lesson, carried } = slip;
    const et = slip.timesS['1320ft'];
    const parts = [`${slip.name} of ${slip.setup}${et === undefined ? '' : `: ${time(et)} s`}.`];
    if (lesson !== null)
      parts.push(
        `${signed(lesson.etS, 2)} s against what pulls and priors promised: launch ${signed(lesson.launchS, 2)}, shifts ${signed(lesson.shiftsS, 2)}, power ${signed(lesson.powerS, 2)}, the rest ${signed(lesson.otherS, 2)}.`,
      );
    if (carried?.etS != null && carried.cubeRootEtS !== null)
      parts.push(`In the air above it would be ${time(carried.etS)} s (plain cube-root rule ${time(carried.cubeRootEtS)} s).`);
    lines.push(...wrapped(plain(parts.join(' ')), style.width, '', '  '));
  }
  if (result.slips.length > 0) lines.push('');
  lines.push(...closingLines(result, report, style));
  return `${lines.join('\n')}\n`;
}
