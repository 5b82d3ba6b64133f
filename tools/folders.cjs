/** Folders of core from left to right. A folder imports only from tiers to the left of its own, never from a neighbour in its tier. */
const coreTiers = [
  ['findings'],
  ['maths', 'units'],
  ['uncertainty'],
  ['log', 'air', 'vehicle'],
  ['sensors'],
  ['stretches'],
  ['power', 'boost', 'fuel', 'formulas'],
  ['compare', 'strip'],
  ['result'],
  ['trial'],
  ['pulls'],
  ['knownTwice'],
  ['answers'],
  ['jobs'],
];

/** Rooms of folders that have them, from left to right: the same rule as between folders. */
const roomTiers = {
  log: [['text'], ['words'], ['table'], ['time'], ['channel']],
  trial: [['file'], ['inputs'], ['new', 'season']],
  answers: [
    ['power', 'pressure', 'mixture', 'changeSheet', 'calculated'],
    ['compare', 'warning'],
    ['fuel', 'topEnd'],
    ['strip', 'check'],
    ['plan'],
    ['season'],
  ],
};

/** Package → packages of ours that it may import. Simulation is the independent truth: it knows nobody and only tests and tools know it. */
const packageArrows = {
  core: [],
  figures: ['core'],
  report: ['core', 'figures'],
  page: ['core', 'figures', 'report'],
  cli: ['core', 'figures', 'report'],
  notebook: ['core', 'figures', 'report'],
  simulation: [],
};

module.exports = { coreTiers, roomTiers, packageArrows };
