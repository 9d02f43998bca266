import { defineConfig } from 'vitest/config';
import { SummaryReporter } from './helpers/summary-reporter.js';

export default defineConfig({
  root: import.meta.dirname,
  cacheDir: '../node_modules/.vite',
  test: {
    include: ['**/*.test.ts'],
    // Tests make everything anew, and leave the user's own cache alone.
    env: { SOFTKNOCK_CACHE: '' },
    // All cores: by default one is left idle, which on two cores doubles the time.
    maxWorkers: '100%',
    testTimeout: 60_000,
    hookTimeout: 120_000,
    reporters: ['default', new SummaryReporter()],
  },
});
