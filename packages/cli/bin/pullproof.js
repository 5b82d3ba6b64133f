#!/usr/bin/env node
const { loadJoined } = require('./joined.js');

const started = async () => {
  const { main } = loadJoined(process.argv[2]) ?? (await import('../dist/main.js'));
  await main();
};

started();
