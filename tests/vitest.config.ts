import { fileURLToPath } from 'node:url';
import { cloudflareTest } from '@cloudflare/vitest-pool-workers';
import { defineConfig } from 'vitest/config';

const root = fileURLToPath(new URL('..', import.meta.url));

export default defineConfig({
  root,
  test: {
    projects: [
      {
        root,
        test: {
          name: 'node',
          include: ['tests/{science,monitoring,wire,host,house}/**/*.test.ts'],
          environment: 'node',
        },
      },
      {
        root,
        plugins: [
          cloudflareTest({ wrangler: { configPath: './wrangler.toml' }, miniflare: { cf: false } }),
        ],
        test: { name: 'worker', include: ['tests/{storage,web}/**/*.test.ts'] },
      },
      {
        root,
        test: {
          name: 'browser',
          include: ['tests/browser/**/*.test.ts'],
          environment: 'node',
          fileParallelism: false,
        },
      },
    ],
  },
});
