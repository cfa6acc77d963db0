import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, onTestFinished } from 'vitest';
import type { JobView } from '../../../core/contract/views.ts';
import { checkDatabase } from '../../../electron/check/check-database.ts';
import { Jobs } from '../../../electron/services/jobs.ts';
import { clearWorkFolders, workFolder } from '../../../electron/storage/work-folder.ts';
import { departmentPassphrase, openDesk, type Desk, type Seat } from './open-desk.ts';

let folder: string;
let mounted: string | null = null;
const temporary = process.env['TMPDIR'];
beforeEach(() => {
  // A folder for temporary files of its own, so that what is left there is ours.
  folder = mkdtempSync(join(tmpdir(), 'fairleaf-failures-test-'));
  process.env['TMPDIR'] = folder;
});
afterEach(() => {
  if (temporary === undefined) delete process.env['TMPDIR'];
  else process.env['TMPDIR'] = temporary;
  if (mounted !== null) spawnSync('umount', ['-l', mounted]);
  mounted = null;
  rmSync(folder, { recursive: true, force: true });
});
const left = (): readonly string[] =>
  readdirSync(folder).filter((name) => name.startsWith('fairleaf-deposit-'));

async function deskWithClass(): Promise<{ desk: Desk; recordIds: readonly string[] }> {
  const desk = await openDesk('HTTP');
  await desk.begin(['Ada', 'Ben', 'Archive']);
  const recordIds: string[] = [];
  for (const name of ['Ada', 'Ben'] as const) {
    const recordId = await desk.record(name, `Record of ${name}`);
    const { id } = await desk.entry(name, recordId);
    await desk.sign(name, id);
    recordIds.push(recordId);
  }
  return { desk, recordIds };
}
async function ended(own: Seat, begun: JobView): Promise<JobView> {
  let job = begun;
  while (job.state === 'running') {
    await new Promise((resolve) => setTimeout(resolve, 50));
    job = await own.get('job.state', { jobId: job.id });
  }
  return job;
}
const told = async (own: Seat): Promise<number> =>
  (
    await own.get('trail.list', {
      entryId: null,
      action: 'record.deposit',
      text: null,
      before: null,
      limit: 5,
    })
  ).total;

describe('a class deposit that does not come to its end', { timeout: 90_000 }, () => {
  it('fails on a full disk in words, leaves nothing, and goes through once there is room', async ({
    skip,
  }) => {
    const small = join(folder, 'disk');
    mkdirSync(small);
    if (spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=64k', 'tmpfs', small]).status !== 0) {
      console.warn('NOT EXERCISED: no small disk can be mounted here.');
      skip();
      return;
    }
    mounted = small;
    const { desk, recordIds } = await deskWithClass();
    onTestFinished(() => desk.close());
    const own = await desk.as('Archive');
    process.env['TMPDIR'] = small;
    const failed = await ended(own, await own.get('record.deposit', { recordIds, departmentPassphrase }));
    expect(failed).toMatchObject({ state: 'failed', file: null, problem: expect.stringMatching(/full/) });
    expect(readdirSync(small)).toEqual([]);
    expect(await told(own)).toBe(0);
    process.env['TMPDIR'] = folder;
    const done = await ended(own, await own.get('record.deposit', { recordIds, departmentPassphrase }));
    expect(done.state).toBe('done');
    expect(await told(own)).toBe(1);
  });

  it('is made twice where two windows begin it at the same time, each whole and told', async () => {
    const { desk, recordIds } = await deskWithClass();
    onTestFinished(() => desk.close());
    const first = await desk.as('Archive');
    const second = await desk.seatOf('another window');
    await second.get('session.open', {
      personId: desk.idOf('Archive'),
      passphrase: 'the passphrase of Archive',
    });
    const begun = await Promise.all(
      [first, second].map((own) => own.get('record.deposit', { recordIds, departmentPassphrase })),
    );
    const [one, other] = await Promise.all([ended(first, begun[0]!), ended(second, begun[1]!)]);
    expect([one.state, other.state]).toEqual(['done', 'done']);
    expect(left()).toHaveLength(2);
    expect(await told(first)).toBe(2);
    const report = await checkDatabase(desk.path, {});
    expect(report.ok && report.value.isSound).toBe(true);
  });

  it('goes on when its window signs out, is told, and keeps nobody out', async () => {
    const { desk, recordIds } = await deskWithClass();
    onTestFinished(() => desk.close());
    const own = await desk.as('Archive');
    const job = await own.get('record.deposit', { recordIds, departmentPassphrase });
    await own.get('session.close', {});
    expect(await own.raw('job.state', { jobId: job.id })).toMatchObject({ error: { code: 'not-signed-in' } });
    const again = await desk.as('Archive');
    expect((await ended(again, job)).state).toBe('done');
    expect(await told(again)).toBe(1);
  });

  it('leaves nothing on the disk when the program ends half-way', async () => {
    const { desk, recordIds } = await deskWithClass();
    const own = await desk.as('Archive');
    await own.get('record.deposit', { recordIds, departmentPassphrase });
    await expect.poll(left).toHaveLength(1);
    await desk.close();
    expect(left()).toEqual([]);
  });

  it('left by a killed program is taken away at the next start; that of a running one is not', async () => {
    const mine = await workFolder('deposit');
    const dead = spawnSync(process.execPath, ['-e', '0']).pid;
    const killed = join(folder, `fairleaf-deposit-${dead}-AbCd12`);
    mkdirSync(killed);
    writeFileSync(join(killed, 'deposit.zip'), 'half');
    const foreign = join(folder, 'fairleaf-deposit-of-somebody');
    mkdirSync(foreign);
    clearWorkFolders();
    expect([existsSync(killed), existsSync(mine), existsSync(foreign)]).toEqual([false, true, true]);
  });
});

describe('work that waits for its turn', () => {
  it('is cleared up after when it is cancelled before, and so is its key', async () => {
    const jobs = new Jobs();
    const release: (() => void)[] = [];
    const about = (id: string) => ({ id, kind: 'entry-pdf' as const, client: 'c', personId: 'p' });
    for (const id of ['1', '2']) {
      jobs.begin(
        about(id),
        () =>
          new Promise((resolve) =>
            release.push(() => resolve({ bytes: new Uint8Array(), name: '', mediaType: '' })),
          ),
        () => undefined,
      );
    }
    const key = new Uint8Array([1, 2, 3]);
    let hasBegun = false;
    jobs.begin(
      { ...about('3'), onEnd: () => key.fill(0) },
      () => {
        hasBegun = true;
        return Promise.reject(new Error('its turn came'));
      },
      () => undefined,
    );
    await expect.poll(() => release.length).toBe(2);
    jobs.cancel('3', 'c', 'p');
    for (const end of release) end();
    await expect.poll(() => [...key]).toEqual([0, 0, 0]);
    expect(hasBegun).toBe(false);
  });
});
