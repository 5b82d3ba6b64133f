import { type Channel, channelsOf, freshSamples, type Log } from '../log/index.js';
import { joinableGapS, motionSignals, quantileOf, valueAt } from '../stretches/index.js';

/** No engine runs on less; a narrowband's voltage lies there whenever the mixture is a little lean. Common practice, no source. */
const leastLambda = 0.5;
/** Share of the readings that must lie there, and where the highest of a voltage ends. Common practice, no source. */
const leastShare = 0.1;
const mostVolts = 1.25;
const leastReadings = 25;

/** Engine speed above which the engine runs. */
const turningRpm = 400;

/**
 * A log in which the voltage of a narrowband sensor, 0.1 V lean to 0.9 V rich, is not taken for lambda: at full load it reads like a rich
 * mixture whatever the mixture is.
 *
 * @returns the same log where there is none; otherwise one without these channels as lambda, and a finding for each
 */
export function withoutNarrowband(log: Log): Log {
  const voltages = channelsOf(log, 'lambda').filter((channel) => isNarrowband(log, channel));
  if (voltages.length === 0) return log;
  return {
    ...log,
    channels: log.channels.map((channel) => (voltages.includes(channel) ? { ...channel, quantity: null } : channel)),
    findings: [
      ...log.findings,
      ...voltages.map(({ name }) => ({
        code: 'W_NARROWBAND',
        severity: 'warning' as const,
        message: `Column "${name}" is named like lambda but reads like the voltage of a narrowband sensor (under 0.5 much of the time; no engine runs on that). It cannot show how rich or lean full throttle is.`,
        where: { path: log.path, channel: name },
        fix: 'Log a wideband sensor. Until then nobody knows from these logs whether the engine runs lean.',
      })),
    ],
  };
}

function isNarrowband(log: Log, channel: Channel): boolean {
  const { engine } = motionSignals(log);
  if (engine === null || channel.unit === 'AFR') return false;
  const { timeS, values } = freshSamples(log, channel);
  const gapS = joinableGapS(engine);
  const running = values.filter((_, i) => valueAt(engine, timeS[i]!, gapS) > turningRpm);
  if (running.length < leastReadings || !(quantileOf(running, 0.98) < mostVolts)) return false;
  return running.filter((value) => value < leastLambda).length > leastShare * running.length;
}
