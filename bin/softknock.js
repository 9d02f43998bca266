#!/usr/bin/env node
// Starts the command line. Everything it does is in dist/cli, built from src/cli.
import { existsSync } from 'node:fs';

const main = new URL('../dist/cli/main.js', import.meta.url);
if (existsSync(main)) {
  const { run } = await import(main.href);
  // Whoever reads the output may stop before its end, as `head` does. That is no error.
  process.stdout.on('error', error => {
    if (error.code !== 'EPIPE') throw error;
  });
  process.exitCode = await run(process.argv.slice(2));
} else {
  process.stderr.write('softknock is not built yet. Run: npm run build\n');
  process.exitCode = 2;
}
