import type { Channel, Log, Quantity } from '../../log/index.js';
import { type FoundStretches, quantileOf, readingsBetween } from '../../stretches/index.js';

/** Slower than this a pull has few readings of engine speed, s. */
export const slowestRefreshS = 0.1;
/** What a phone has by itself, and does not ask the car for. */
const ofThePhone: ReadonlySet<Quantity | null> = new Set(['time', 'gps-speed', 'latitude', 'longitude', 'altitude', 'acceleration']);
/** Channels that power is worked out from. */
const needed = 3;
/** Readings of engine speed in a pull below which a longer one is worth asking for; from the study of slow loggers. */
const fewReadings = 12;

/**
 * What to change where a logger asks for one channel after another and engine speed comes too rarely: which channels, how often each would then
 * come, and whether a longer pull would help.
 *
 * @returns sentences, most useful first; none where engine speed comes 10 times a second
 */
export function slowLoggerAdvice(log: Log, { signals, pulls }: Pick<FoundStretches, 'signals' | 'pulls'>): string[] {
  const { engine } = signals;
  const refreshS = engine?.channel.refreshS?.median ?? 0;
  if (engine === null || !(refreshS > slowestRefreshS)) return [];
  const asked = log.channels.filter((channel) => !ofThePhone.has(channel.quantity) && isHeld(channel));
  const answersHz = asked.reduce((sum, { refreshS: own }) => sum + 1 / own!.median, 0);
  const advice: string[] = [];
  if (asked.length > needed && answersHz / needed > 1.2 / refreshS) {
    advice.push(
      `Log engine speed, road speed and pedal alone: this logger reads about ${answersHz.toFixed(0)} values a second over ${asked.length} channels, so each of three would update about ${perSecond(answersHz / needed)} times a second instead of ${perSecond(1 / refreshS)}.`,
    );
  } else if (asked.length === 0) {
    advice.push('Log fewer channels at once, so that engine speed updates at least 5 times a second.');
  }
  const counts = pulls.map(({ startS, endS }) => readingsBetween(log, engine.channel, startS, endS).values.length);
  const usual = quantileOf(counts, 0.5);
  if (usual < fewReadings) {
    advice.push(
      `Pull in the next higher gear: a pull holds only about ${usual.toFixed(0)} readings of engine speed, and lasts longer there.`,
    );
  }
  return advice;
}

function isHeld({ freshBy, refreshS }: Channel): boolean {
  return refreshS !== null && /^(held|asked)/.test(freshBy);
}

function perSecond(hz: number): string {
  return hz < 1.95 ? hz.toFixed(1) : hz.toFixed(0);
}
