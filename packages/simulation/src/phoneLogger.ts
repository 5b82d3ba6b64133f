import type { Drive } from './drive.js';
import type { Random } from './random.js';
import { type LoggedChannel, sensorOn } from './sensor.js';

/** A phone on the diagnostic port: it asks for one channel after another, and adds sensors of its own that keep their own time. */
export interface PhoneLogger {
  /** Asked in turn. */
  readonly port: readonly LoggedChannel[];
  /** Answers of the port a second, over all channels. */
  readonly answersHz: number;
  /** Share of the usual time between answers by which it varies, half-width of an even spread. */
  readonly jitterShare?: number;
  /** Share of answers that never come; the phone waits three times as long for them. */
  readonly lostShare?: number;
  /** Sensors of the phone; each has its `rateHz`. */
  readonly phone?: readonly LoggedChannel[];
  /** When a row is written: at whatever is new, after each round of the port, or so many times a second. Other cells go on showing what they showed. */
  readonly rows: 'new' | 'round' | number;
}

interface Reading {
  readonly timeS: number;
  readonly column: number;
  readonly text: string;
  readonly endsRound: boolean;
}

/** Records a drive with a phone and writes the text of the file: seconds to the millisecond, comma between cells, cells blank until first answered. */
export function phoneLog(drive: Drive, logger: PhoneLogger, random: Random): string {
  const { port, answersHz, jitterShare = 0.25, lostShare = 0, phone = [], rows } = logger;
  const endS = (drive.samples - 1) * drive.stepS;
  const readings = [...portReadings(), ...phone.flatMap(phoneReadings)].sort((a, b) => a.timeS - b.timeS);
  const cells: string[] = [...port, ...phone].map(() => '');
  const lines = [['Time (s)', ...[...port, ...phone].map(({ header }) => header)].join(',')];
  const write = (timeS: number): void => {
    lines.push([timeS.toFixed(3), ...cells].join(','));
  };
  let next = 0;
  const show = (until: number): void => {
    for (; next < readings.length && readings[next]!.timeS <= until; next++) cells[readings[next]!.column] = readings[next]!.text;
  };
  if (typeof rows === 'number') {
    for (let row = 0; row / rows <= endS; row++) {
      show(row / rows);
      write(row / rows);
    }
  } else {
    for (const { timeS, endsRound } of readings) {
      show(timeS);
      if (rows === 'new' || endsRound) write(timeS);
    }
  }
  return `${lines.join('\n')}\n`;

  function portReadings(): Reading[] {
    const sensors = port.map((channel) => sensorOn(drive, channel, random, false));
    const out: Reading[] = [];
    let timeS = random.uniform() / answersHz;
    for (let asked = 0; timeS < endS; asked++) {
      const column = asked % port.length;
      const lost = random.uniform() < lostShare;
      const text = sensors[column]!.read(timeS);
      if (!lost) out.push({ timeS, column, text, endsRound: column === port.length - 1 });
      timeS += ((lost ? 3 : 1) * (1 + jitterShare * (2 * random.uniform() - 1))) / answersHz;
    }
    return out;
  }

  function phoneReadings(channel: LoggedChannel, index: number): Reading[] {
    const sensor = sensorOn(drive, channel, random, false);
    const everyS = 1 / channel.rateHz!;
    const out: Reading[] = [];
    for (let timeS = everyS * random.uniform(); timeS < endS; timeS += everyS * (1 + 0.02 * (2 * random.uniform() - 1))) {
      out.push({ timeS, column: port.length + index, text: sensor.read(timeS), endsRound: false });
    }
    return out;
  }
}
