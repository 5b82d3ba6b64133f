#!/usr/bin/env node
import { statSync } from 'node:fs';

/** When a file was written, ms; 0 where it is not there. */
const writtenMs = (file) => statSync(new URL(file, import.meta.url), { throwIfNoEntry: false })?.mtimeMs ?? 0;

// In a checkout the parts may have been built again after they were joined: then the parts are run. As installed there is no note of a build.
const notes = ['core/dist', 'figures/dist', 'report/dist', 'report/dist/page', 'cli/dist'].map((folder) => `../../${folder}/.tsbuildinfo`);
const joined = '../dist/bundled/main.js';
const joinedMs = writtenMs(joined);
const { main } = await import(joinedMs > Math.max(...notes.map(writtenMs)) ? joined : '../dist/main.js');

await main();
