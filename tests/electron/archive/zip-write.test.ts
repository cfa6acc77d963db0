import { Writable } from 'node:stream';
import { describe, expect, it } from 'vitest';
import { writeZip, type ArchiveFile } from '../../../electron/archive/zip-write.ts';

describe('writeZip', () => {
  it('fails, and does not wait for ever, when the output fails between two files', async () => {
    const output = new Writable({
      write: (_part, _encoding, done) => done(),
    });
    async function* files(): AsyncGenerator<ArchiveFile> {
      yield { path: 'a.txt', data: Buffer.from('a') };
      // The disk fills up while the next file is still being made.
      output.destroy(new Error('ENOSPC'));
      await new Promise((resolve) => setTimeout(resolve, 20));
      yield { path: 'b.txt', data: Buffer.from('b') };
    }
    await expect(writeZip(output, files())).rejects.toThrow('ENOSPC');
  });
});
