// Writes the invented sample logs, their trial file and their truth into sample-logs/. Build first: npx tsc -b packages/simulation.
import { mkdirSync, writeFileSync } from 'node:fs';
import { sampleLogs } from '../packages/simulation/dist/index.js';

const folder = new URL('../sample-logs/', import.meta.url);
mkdirSync(folder, { recursive: true });
for (const [name, text] of sampleLogs()) {
  writeFileSync(new URL(name, folder), text);
  console.log(`${name}  ${(text.length / 1000).toFixed(0)} kB`);
}
