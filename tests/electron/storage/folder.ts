import { chmodSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';

/** A folder for one test, gone after it. */
export function folderOfTest(): string {
  const folder = mkdtempSync(join(tmpdir(), 'fairleaf-storage-'));
  // Others may look in: some tests open files as somebody else.
  chmodSync(folder, 0o755);
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}
