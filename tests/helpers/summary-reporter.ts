/** Prints the one closing line that continuous integration reads: `N passed, N failed`. */
import type { Reporter, TestModule } from 'vitest/node';

export class SummaryReporter implements Reporter {
  onTestRunEnd(modules: readonly TestModule[], unhandledErrors: readonly unknown[]): void {
    let passed = 0;
    let failed = unhandledErrors.length;
    let skipped = 0;
    for (const module of modules) {
      // A file that cannot even be loaded holds no tests, yet is a failure.
      if (module.state() === 'failed' && [...module.children.allTests()].length === 0) failed += 1;
      for (const test of module.children.allTests()) {
        const { state } = test.result();
        if (state === 'passed') passed += 1;
        else if (state === 'failed') failed += 1;
        else skipped += 1;
      }
    }
    const note = skipped > 0 ? `${skipped} skipped (each says why in its title)\n` : '';
    // After the default reporter's own summary, so that ours is the last line.
    process.on('exit', () => process.stdout.write(`${note}${passed} passed, ${failed} failed\n`));
  }
}
