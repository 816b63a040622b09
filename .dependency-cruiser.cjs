/**
 * The house as a tool that follows every import sees it: no circles, and the outer rules. The order of rooms is tested in
 * tests/house/imports.test.ts, which says more plainly what is wrong.
 */
/** @type {import('dependency-cruiser').IConfiguration} */
module.exports = {
  forbidden: [
    {
      name: 'no-circle',
      comment: 'Files that import each other cannot be understood, tested or moved one at a time.',
      severity: 'error',
      from: {},
      to: { circular: true, dependencyTypesNot: ['type-only'], viaOnly: { dependencyTypesNot: ['type-only', 'dynamic-import'] } },
    },
    {
      name: 'client-takes-only-types',
      comment: 'The extension stays small: from the server it takes the types of the protocol.',
      severity: 'error',
      from: { path: '^client/src/(extension|[a-z-]+\\.ts|panels/|commands/)' },
      to: { path: '^server/src', dependencyTypesNot: ['type-only'] },
    },
    {
      name: 'nothing-from-tests',
      severity: 'error',
      from: { path: '^(server|client)/' },
      to: { path: '^tests/' },
    },
    {
      name: 'nothing-unresolved',
      severity: 'error',
      from: {},
      to: { couldNotResolve: true, pathNot: '^vscode$' },
    },
    {
      name: 'nothing-for-development-only',
      comment: 'What ships may import only what `dependencies` names.',
      severity: 'error',
      from: { path: '^(server|client)/src' },
      to: { dependencyTypes: ['npm-dev'], dependencyTypesNot: ['type-only'], pathNot: '^node_modules/@types/' },
    },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    enhancedResolveOptions: {
      extensions: ['.ts', '.tsx', '.mjs', '.js', '.json'],
      mainFields: ['module', 'main', 'types'],
      exportsFields: ['exports'],
      conditionNames: ['node', 'import', 'require', 'types', 'default'],
    },
  },
};
