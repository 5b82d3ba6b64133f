const { coreTiers, packageArrows, roomTiers } = require('./tools/folders.cjs');

const coreArrows = coreTiers.flatMap((tier, position) =>
  tier.map((folder) => ({
    name: `core-${folder}-looks-left`,
    comment: `core/${folder} may import only from the folders to its left: ${coreTiers.slice(0, position).flat().join(', ') || 'none'}`,
    severity: 'error',
    from: { path: `^packages/core/src/${folder}/` },
    to: {
      path: '^packages/core/',
      pathNot: `^packages/core/src/(version\\.ts$|(${[folder, ...coreTiers.slice(0, position).flat()].join('|')})/)`,
    },
  })),
);

/** Rooms inside a folder need each other one way too. */
const betweenRooms = Object.entries(roomTiers).flatMap(([folder, tiers]) =>
  tiers.flatMap((tier, position) =>
    tier.map((room) => ({
      name: `core-${folder}-${room}-looks-left`,
      comment: `core/${folder}/${room} may import only from the rooms to its left: ${tiers.slice(0, position).flat().join(', ') || 'none'}`,
      severity: 'error',
      from: { path: `^packages/core/src/${folder}/${room}/` },
      to: {
        path: `^packages/core/src/${folder}/[^/]+/`,
        pathNot: `^packages/core/src/${folder}/(${[room, ...tiers.slice(0, position).flat()].join('|')})/`,
      },
    })),
  ),
);

const betweenPackages = Object.entries(packageArrows).map(([name, allowed]) => ({
  name: `package-${name}`,
  comment: `packages/${name} may import only these packages of ours: ${allowed.join(', ') || 'none'}`,
  severity: 'error',
  from: { path: `^packages/${name}/` },
  to: { path: '^packages/', pathNot: `^packages/(${[name, ...allowed].join('|')})/` },
}));

module.exports = {
  forbidden: [
    ...coreArrows,
    ...betweenRooms,
    ...betweenPackages,
    {
      name: 'core-folder-door',
      comment: 'a folder of core is entered only through its index.ts',
      severity: 'error',
      from: { path: '^packages/core/src/([^/]+)/' },
      to: { path: '^packages/core/src/[^/]+/', pathNot: '^packages/core/src/($1/|[^/]+/index\\.ts$)' },
    },
    {
      name: 'core-index-door',
      comment: "core's own index takes from the folders' index.ts only",
      severity: 'error',
      from: { path: '^packages/core/src/[^/]+\\.ts$' },
      to: { path: '^packages/core/src/[^/]+/', pathNot: '/index\\.ts$' },
    },
    {
      name: 'package-door',
      comment: 'a package of ours is entered by its name, never by a path into it',
      severity: 'error',
      from: { path: '^packages/([^/]+)/' },
      to: { path: '^packages/[^/]+/', pathNot: '^packages/($1/|[^/]+/dist/index\\.(js|d\\.ts)$)' },
    },
    {
      name: 'no-cycle',
      comment: 'modules do not import each other in a circle',
      severity: 'error',
      from: { path: '^(packages|tools)/' },
      to: { circular: true },
    },
    {
      name: 'no-node-in-pure-packages',
      comment: 'core, figures and simulation know no file, screen or clock: no module of Node',
      severity: 'error',
      from: { path: '^packages/(core|figures|simulation)/src/' },
      to: { dependencyTypes: ['core'] },
    },
    {
      name: 'declared-dependencies',
      comment: 'a package imports only what its own package.json lists under dependencies or optionalDependencies',
      severity: 'error',
      from: { path: '^packages/' },
      to: { dependencyTypes: ['npm-no-pkg', 'npm-dev', 'npm-unknown'] },
    },
    {
      name: 'no-unresolved',
      comment: 'every import leads to a file',
      severity: 'error',
      from: {},
      to: { couldNotResolve: true },
    },
    {
      name: 'no-test-in-product',
      comment: 'packages know neither tests nor tools',
      severity: 'error',
      from: { path: '^packages/' },
      to: { path: '^(test|tools|bench)/' },
    },
  ],
  options: {
    doNotFollow: { path: ['node_modules', '/dist/'] },
    tsPreCompilationDeps: true,
    combinedDependencies: false,
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'types', 'node', 'default'],
      mainFields: ['module', 'main', 'types'],
    },
  },
};
