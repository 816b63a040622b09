import tseslint from 'typescript-eslint';

/**
 * Rules that catch mistakes; taste is for review. Types are used where they find real bugs (promises that nobody waits for), in
 * the product's own code; tests are read without types, for speed.
 */
export default tseslint.config(
  { ignores: ['dist/**', 'out/**', 'coverage/**', 'node_modules/**', 'tests/editor/workbench/**'] },
  ...tseslint.configs.strict,
  { linterOptions: { reportUnusedDisableDirectives: 'off' } },
  {
    rules: {
      eqeqeq: 'error',
      'no-console': ['error', { allow: ['error'] }],
      'prefer-const': 'error',
      'no-restricted-syntax': [
        'error',
        { selector: 'ExportDefaultDeclaration', message: 'Name what you export.' },
        { selector: 'TSEnumDeclaration', message: 'Use a union of words.' },
      ],
      'max-len': ['error', { code: 200, ignoreUrls: true, ignoreStrings: true, ignoreTemplateLiterals: true, ignoreRegExpLiterals: true, ignoreComments: true }],
      '@typescript-eslint/consistent-type-imports': 'error',
      '@typescript-eslint/no-non-null-assertion': 'off',
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_', varsIgnorePattern: '^_', caughtErrorsIgnorePattern: '^_' }],
    },
  },
  {
    files: ['server/src/**/*.ts', 'client/src/**/*.{ts,tsx}'],
    languageOptions: { parserOptions: { projectService: true, tsconfigRootDir: import.meta.dirname } },
    rules: {
      '@typescript-eslint/no-floating-promises': 'error',
      '@typescript-eslint/no-misused-promises': ['error', { checksVoidReturn: false }],
      '@typescript-eslint/await-thenable': 'error',
      '@typescript-eslint/switch-exhaustiveness-check': ['error', { considerDefaultExhaustiveForUnions: true }],
    },
  },
  {
    files: ['*.mjs', '*.cjs', 'server/scripts/**', '*.config.*'],
    rules: { 'no-restricted-syntax': 'off', 'no-console': 'off', '@typescript-eslint/no-require-imports': 'off' },
  },
  { files: ['tests/**'], rules: { 'max-len': 'off', 'no-console': 'off', '@typescript-eslint/no-invalid-void-type': 'off', '@typescript-eslint/no-dynamic-delete': 'off' } },
  // Where the process is at hand, what is printed is the product.
  { files: ['server/src/edge/**'], rules: { 'no-console': 'off' } },
  { files: ['**/*.d.ts'], rules: { 'no-restricted-syntax': 'off' } },
);
