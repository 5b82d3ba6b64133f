import { type Log, onceForEach } from '../log/index.js';

/** FNV-1a over the times and the values of a log as read: the same for two copies of one recording. */
export const recordingOf: (log: Log) => string = onceForEach((log) => {
  let low = 0x811c9dc5;
  let high = 0x01000193;
  for (const values of [log.timeS, ...log.channels.map((channel) => channel.values)]) {
    const words = new Uint32Array(values.buffer, values.byteOffset, values.length * 2);
    for (let i = 0; i < words.length; i++) {
      low = Math.imul(low ^ words[i]!, 0x01000193);
      high = Math.imul(high ^ words[i]!, 0x85ebca6b) + 1;
    }
  }
  return `recording ${(low >>> 0).toString(16)} ${(high >>> 0).toString(16)} ${log.rows}`;
});
