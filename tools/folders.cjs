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
  ['trial'],
];

/** Package → packages of ours that it may import. Simulation is the independent truth: it knows nobody and only tests and tools know it. */
const packageArrows = {
  core: [],
  figures: ['core'],
  report: ['core', 'figures'],
  cli: ['core', 'figures', 'report'],
  notebook: ['core', 'figures', 'report'],
  simulation: [],
};

module.exports = { coreTiers, packageArrows };
