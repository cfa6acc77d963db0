import { existsSync, readdirSync, writeFileSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  copiesFolder,
  copyName,
  keptCopies,
  makeCopy,
  superfluous,
} from '../../../electron/storage/kept-copies.ts';
import { isNetworkType, isOnNetworkDrive } from '../../../electron/storage/network-drive.ts';
import { folderOfTest } from './folder.ts';

const copyAt = (at: string) => ({ name: copyName(at), at });
const dayMs = 24 * 3_600_000;

describe('kept copies', () => {
  it('keep the last of each of seven days and of each of four weeks', () => {
    // Two copies on each of sixty days.
    const all = Array.from({ length: 120 }, (_, i) =>
      copyAt(
        new Date(
          Date.parse('2026-03-01T08:00:00.000Z') + Math.floor(i / 2) * dayMs + (i % 2) * 3_600_000,
        ).toISOString(),
      ),
    );
    const gone = new Set(superfluous(all).map((one) => one.name));
    const left = all.filter((one) => !gone.has(one.name)).map((one) => one.at.slice(0, 13));
    // 60 days from 1 March end on 29 April 2026, a Wednesday; its week began on Monday the 27th.
    expect(left).toEqual([
      '2026-04-12T09',
      '2026-04-19T09',
      '2026-04-23T09',
      '2026-04-24T09',
      '2026-04-25T09',
      '2026-04-26T09',
      '2026-04-27T09',
      '2026-04-28T09',
      '2026-04-29T09',
    ]);
  });

  it('never let the only copy go, however old', () => {
    expect(superfluous([copyAt('2001-01-01T00:00:00.000Z')])).toEqual([]);
  });

  it('appear whole or not at all, and leave other files alone', async () => {
    const path = join(folderOfTest(), 'a.fairleaf');
    mkdirSync(copiesFolder(path));
    writeFileSync(join(copiesFolder(path), 'my own.fairleaf'), 'x');
    const write = async (to: string) => Promise.resolve(writeFileSync(to, 'whole'));
    await makeCopy(path, '2026-03-01T08:00:00.000Z', write);
    await expect(
      makeCopy(path, '2026-03-02T08:00:00.000Z', async (to) => {
        writeFileSync(to, 'half');
        return Promise.reject(new Error('ENOSPC'));
      }),
    ).rejects.toThrow('ENOSPC');
    expect((await keptCopies(path)).map((one) => one.at)).toEqual(['2026-03-01T08:00:00.000Z']);
    expect(readdirSync(copiesFolder(path)).sort()).toEqual([
      '2026-03-01T080000Z.fairleaf',
      'my own.fairleaf',
    ]);
    expect(existsSync(join(copiesFolder(path), '2026-03-02T080000Z.fairleaf.part'))).toBe(false);
  });
});

describe('network drives', () => {
  it('are known by the type of their file system, or by a server’s path', async () => {
    // statfs(2): NFS, SMB, CIFS (also as the negative number some systems give), SMB2.
    for (const type of [0x6969, 0x517b, 0xff534d42, 0xff534d42 | 0, 0xfe534d42]) {
      expect(isNetworkType(type)).toBe(true);
    }
    // ext4, tmpfs, btrfs, xfs, overlay.
    for (const type of [0xef53, 0x01021994, 0x9123683e, 0x58465342, 0x794c7630]) {
      expect(isNetworkType(type)).toBe(false);
    }
    expect(await isOnNetworkDrive('\\\\server\\share\\a.fairleaf', 'win32')).toBe(true);
    expect(await isOnNetworkDrive('C:\\Users\\ada\\a.fairleaf', 'win32')).toBe(false);
    expect(await isOnNetworkDrive('\\\\?\\C:\\a.fairleaf', 'win32')).toBe(false);
    expect(await isOnNetworkDrive(join(folderOfTest(), 'a.fairleaf'))).toBe(false);
  });
});
