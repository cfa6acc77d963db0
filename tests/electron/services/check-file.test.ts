import { readFileSync } from 'node:fs';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openDesk, transports, type Desk } from './open-desk.ts';

describe.each(transports)('file.check over %s', (transport) => {
  let desk: Desk;
  beforeEach(async () => {
    desk = await openDesk(transport);
    await desk.begin();
    await desk.lockedEntry(await desk.record());
  });
  afterEach(async () => {
    await desk.close();
    expect(desk.logged).toEqual([]);
  });
  /** A whole copy, as a person would take it: the file without its log would be an older state. */
  async function wholeCopy(of: Desk): Promise<string> {
    const { notebook } = of.running.program;
    if (!notebook.ok) throw new Error('not open');
    await notebook.value.copyTo(`${of.path}.copy`);
    return readFileSync(`${of.path}.copy`).toString('base64');
  }

  it('finds a whole copy sound, and tells one event', async () => {
    const data = await wholeCopy(desk);
    const own = await desk.as('Ada');
    const report = await own.get('file.check', { name: '../my\u202Ecopy.fairleaf', data });
    expect(report.isSound).toBe(true);
    expect(report.findings.map((one) => one.code)).not.toContain('key-not-pinned');
    const trail = await own.get('trail.list', {
      entryId: null,
      action: 'file.check',
      text: null,
      before: null,
      limit: 5,
    });
    expect(trail.lines).toHaveLength(1);
    expect(trail.lines[0]).toMatchObject({ reason: 'sound', changes: [{ path: 'file' }] });
    expect(trail.lines[0]?.changes[0]?.new).toMatch(/^mycopy\.fairleaf, SHA-256 /);
  });

  it('holds a file against this department, not against its own', async () => {
    const stranger = await openDesk(transport);
    await stranger.begin();
    await stranger.lockedEntry(await stranger.record());
    const data = await wholeCopy(stranger);
    await stranger.close();
    const report = await (await desk.as('Ada')).get('file.check', { name: 'theirs.fairleaf', data });
    expect(report.isSound).toBe(false);
    expect(report.findings.map((one) => one.code)).toContain('department-key-differs');
  });

  it('says in a code what is no file of ours', async () => {
    const own = await desk.as('Ada');
    for (const text of [
      'hello',
      'PK\u0003\u0004 cut',
      '%PDF-1.7 cut',
      '{"type":"bundle"}',
      'SQLite format 3\0 cut',
    ]) {
      const answer = await own.ask('file.check', { name: 'x', data: Buffer.from(text).toString('base64') });
      expect(answer, text).toMatchObject({ ok: false, error: { code: 'file-unreadable' } });
    }
    expect(await (await desk.seatOf('nobody')).raw('session.close', {})).toMatchObject({ ok: true });
    expect(await (await desk.seatOf('nobody')).raw('file.check', { name: 'x', data: '' })).toMatchObject({
      error: { code: 'not-signed-in' },
    });
  });
});
