import type { Reporter, TestModule } from 'vitest/node';

/** Ends a run with one plain line that counts every test, the skipped ones too. */
export default class ClosingLine implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    const count = { passed: 0, failed: 0, skipped: 0, pending: 0 };
    let brokenFiles = 0;
    for (const module of modules) {
      for (const test of module.children.allTests()) count[test.result().state] += 1;
      if (module.errors().length > 0) brokenFiles += 1;
    }
    const skipped = count.skipped + count.pending;
    console.log(
      `\n${count.passed} passed, ${count.failed + brokenFiles} failed${skipped > 0 ? `, ${skipped} skipped` : ''}`,
    );
  }
}
