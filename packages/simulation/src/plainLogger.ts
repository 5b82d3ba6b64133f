import type { Logger } from './logger.js';
import type { LoggedChannel } from './sensor.js';

/** What a plain logger of engine speed, road speed and pedal gets wrong. */
export interface PlainLoggerOptions {
  readonly rateHz?: number;
  readonly engineSpeed?: Partial<LoggedChannel>;
  readonly roadSpeed?: Partial<LoggedChannel>;
  readonly further?: readonly LoggedChannel[];
  readonly timing?: Pick<Logger, 'jitterS' | 'stampErrorS' | 'stampStepS' | 'stampRounding' | 'polled' | 'dropouts'>;
}

/** A logger of engine speed, road speed (km/h) and pedal, times in seconds to the millisecond, comma between cells. */
export function plainLogger(options: PlainLoggerOptions = {}): Logger {
  return {
    rateHz: options.rateHz ?? 25,
    ...options.timing,
    channels: [
      {
        header: 'Engine speed (rpm)',
        source: 'engineSpeedRpm',
        noise: 4,
        silentAtZero: true,
        step: 1,
        decimals: 0,
        ...options.engineSpeed,
      },
      { header: 'Road speed (km/h)', source: 'speedMps', written: (mps) => mps * 3.6, step: 0.1, decimals: 1, ...options.roadSpeed },
      { header: 'Pedal (%)', source: 'pedal', written: (share) => 100 * share, step: 1, decimals: 0 },
      ...(options.further ?? []),
    ],
    dialect: { delimiter: ',', decimal: '.', lineEnd: '\n', timeHeader: 'Time (s)', timeDecimals: 3 },
  };
}
