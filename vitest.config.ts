import { readFileSync } from 'node:fs';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  plugins: [
    {
      // The same meaning as esbuild's `text` loader: the built-in catalogue is imported as text.
      name: 'yaml-as-text',
      enforce: 'pre',
      load(id) {
        if (!id.endsWith('.yaml')) return null;
        return `export default ${JSON.stringify(readFileSync(id, 'utf8'))};`;
      },
    },
  ],
  test: {
    include: ['tests/**/*.test.ts', 'tests/**/*.test.tsx'],
    exclude: ['**/node_modules/**', 'tests/editor/workbench/**'],
    testTimeout: 30_000,
    hookTimeout: 180_000,
  },
});
