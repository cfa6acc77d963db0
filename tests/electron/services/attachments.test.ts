import { tmpdir } from 'node:os';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { checkFile } from '../../../electron/check/check-file.ts';
import { sha256 } from '../../../electron/keys/crypto.ts';
import { startLoopback } from '../../../electron/transport/http.ts';
import { jpeg, png } from '../export/pictures.ts';
import { enter, pageHeaders, sendHttp } from './http-ask.ts';
import { openDesk, passphraseOf, transports, type Desk } from './open-desk.ts';

const picture = png();

describe.each(transports)('attachment.add over %s', (transport) => {
  let desk: Desk;
  let recordId: string;
  let entryId: string;
  beforeEach(async () => {
    desk = await openDesk(transport);
    await desk.begin();
    recordId = await desk.record();
    entryId = (await desk.entry('Ada', recordId)).id;
  });
  afterEach(async () => {
    await desk.close();
    expect(desk.logged).toEqual([]);
  });

  const attach = async (name: string, data: Buffer, revision = 1) =>
    (await desk.as('Ada')).ask('attachment.add', {
      entryId,
      revision,
      section: 'result',
      name,
      caption: 'needles',
      data: data.toString('base64'),
    });
  const events = async (): Promise<readonly string[]> => {
    const trail = await (
      await desk.as('Ada')
    ).get('trail.list', { entryId, action: null, text: null, before: null, limit: 100 });
    return trail.lines.map((line) => line.action);
  };

  it('keeps the file by its hash, names it in the draft, and tells one event', async () => {
    const before = (await events()).length;
    expect(await attach('needles.png', picture)).toMatchObject({
      ok: true,
      value: {
        note: { sha256: sha256(picture), name: 'needles.png', mediaType: 'image/png', section: 'result' },
        revision: 2,
        hasPosition: false,
      },
    });
    expect((await events()).slice(0, -before)).toEqual(['attachment.add']);
    const { content, revision } = await (await desk.as('Ada')).get('entry.open', { entryId });
    expect(revision).toBe(2);
    expect(content.attachments).toHaveLength(1);

    await desk.sign('Ada', entryId);
    await desk.countersign('Dr Moss', entryId);
    const report = await checkFile(desk.path);
    expect(report).toMatchObject({ ok: true, value: { isSound: true } });
    expect(report.ok && report.value.checked).toContainEqual({ what: 'attachments', count: 1 });
  });

  it('lets only those see it who may read the entry', async () => {
    await attach('needles.png', picture);
    const which = { entryId, sha256: sha256(picture), isOriginal: false };
    const seenBy = async (name: 'Ada' | 'Ben' | 'Dr Moss'): Promise<boolean> => {
      const own = await desk.as(name);
      // One window over IPC; over HTTP each has a browser of their own.
      const clients = desk.running.program.sessions.all();
      const [client] = clients.find(([, session]) => session.person.printedName === name) ?? [''];
      expect(await own.get('session.current', {})).toMatchObject({ session: {} });
      return (await desk.running.attachment(which, client)) !== null;
    };
    expect(await seenBy('Ada')).toBe(true);
    expect(await seenBy('Ben')).toBe(false);
    expect(await seenBy('Dr Moss')).toBe(false);
    await desk.sign('Ada', entryId);
    expect(await seenBy('Dr Moss')).toBe(true);
    expect(await seenBy('Ben')).toBe(false);
    expect(await desk.running.attachment(which, 'nobody')).toBeNull();
  });

  it('refuses what is no attachment, and changes nothing', async () => {
    const before = await events();
    expect(await attach('needles.png', jpeg)).toMatchObject({ error: { code: 'attachment-disguised' } });
    expect(await attach('page.html', Buffer.from('<p>'))).toMatchObject({
      error: { code: 'attachment-kind' },
    });
    expect(await attach('needles.png', picture, 9)).toMatchObject({
      error: { code: 'draft-changed-elsewhere' },
    });
    const own = await desk.as('Ada');
    expect(
      await own.raw('attachment.add', {
        entryId,
        revision: 1,
        section: 'result',
        name: 'a.png',
        caption: '',
        data: 'no base64!',
      }),
    ).toMatchObject({ error: { code: 'invalid-input', where: 'data' } });
    const ben = await desk.as('Ben');
    expect(
      await ben.ask('attachment.add', {
        entryId,
        revision: 1,
        section: 'result',
        name: 'a.png',
        caption: '',
        data: picture.toString('base64'),
      }),
    ).toMatchObject({ error: { code: 'not-found' } });
    expect(await events()).toEqual(before);
  });

  it('takes the same file once, and a locked entry takes none', async () => {
    await attach('needles.png', picture);
    expect(await attach('again.png', picture, 2)).toMatchObject({
      error: { code: 'attachment-there-already' },
    });
    await desk.sign('Ada', entryId);
    expect(await attach('late.jpg', jpeg, 2)).toMatchObject({ error: { code: 'entry-locked' } });
  });

  it('does not let a draft name a file that was never attached to it', async () => {
    await attach('needles.png', picture);
    const own = await desk.as('Ada');
    const { content } = await own.get('entry.open', { entryId });
    expect(await own.ask('entry.begin', { recordId, content })).toMatchObject({
      error: { code: 'attachment-unknown' },
    });
    const other = await desk.entry('Ada', recordId);
    expect(
      await own.ask('draft.save', {
        entryId: other.id,
        revision: 1,
        content: { ...other.content, attachments: content.attachments },
      }),
    ).toMatchObject({ error: { code: 'attachment-unknown' } });
    // Taken out and put back, it is the same file: nothing is ever lost.
    await desk.save('Ada', entryId, { attachments: [] });
    await desk.save('Ada', entryId, { attachments: content.attachments });
    const [note] = content.attachments;
    if (note === undefined) throw new Error('nothing attached');
    const { revision, content: now } = await own.get('entry.open', { entryId });
    expect(
      await own.ask('draft.save', {
        entryId,
        revision,
        content: { ...now, attachments: [{ ...note, mediaType: 'text/html' }] },
      }),
    ).toMatchObject({ error: { code: 'attachment-unknown' } });
  });

  it('a file changed behind the program is found by the check', async () => {
    await attach('needles.png', picture);
    await desk.sign('Ada', entryId);
    const thief = new Database(desk.path);
    thief.exec('drop trigger attachment_is_final');
    thief.prepare('update attachment set data = ?').run(Buffer.from(png({ seed: 3 })));
    thief.close();
    const report = await checkFile(desk.path);
    expect(report.ok && report.value.isSound).toBe(false);
    expect(report.ok && report.value.findings.map((one) => one.code)).toContain('attachment-changed');
  });

  it('writes the trail as a table, as far as the person may read it', async () => {
    await desk.save('Ada', entryId, { discussion: '=HYPERLINK("x")' });
    const own = await desk.as('Ada');
    let job = await own.get('trail.export', { entryId: null, action: null, text: null });
    for (let turn = 0; job.state === 'running' && turn < 200; turn += 1) {
      await new Promise((resolve) => setTimeout(resolve, 20));
      job = await own.get('job.state', { jobId: job.id });
    }
    expect(job).toMatchObject({ state: 'done', kind: 'trail' });
    expect(job.file?.name).toMatch(/^audit-trail-\d{4}-\d\d-\d\d\.csv$/);
    const clients = desk.running.program.sessions.all();
    const [client] = clients.find(([, session]) => session.person.printedName === 'Ada') ?? [''];
    const table = Buffer.from(desk.running.jobFile(job.id, client)?.bytes ?? []).toString('utf8');
    expect(table.split('\r\n').length).toBeGreaterThan(3);
    expect((await events())[0]).not.toBe('notebook.export');
    const trail = await own.get('trail.list', {
      entryId: null,
      action: 'notebook.export',
      text: null,
      before: null,
      limit: 5,
    });
    expect(trail.total).toBe(1);
  });
});

describe('GET attachment', () => {
  it('serves a picture to the session that may see it, as nothing but a picture', async () => {
    const desk = await openDesk('IPC');
    await desk.begin();
    const { running } = desk;
    const host = await startLoopback(
      {
        folder: tmpdir(),
        dispatch: running.dispatch,
        jobFile: () => null,
        attachment: (which, client) => running.attachment(which, client),
      },
      0,
    );
    const cookie = await enter(host.newAddress());
    const headers = pageHeaders(host.origin, cookie);
    const ask = async (name: string, input: unknown) => {
      const answer = await sendHttp(host.origin, `/ask/${name}`, {
        method: 'POST',
        headers,
        body: JSON.stringify(input),
      });
      return (JSON.parse(answer.body.toString('utf8')) as { value: never }).value;
    };
    await ask('session.open', { personId: desk.idOf('Ada'), passphrase: passphraseOf('Ada') });
    const card: { id: string } = await ask('record.begin', {
      title: 'T',
      course: '',
      ownerId: desk.idOf('Ada'),
    });
    const { sampleContent } = await import('../../core/record/sample-content.ts');
    const entry: { id: string } = await ask('entry.begin', { recordId: card.id, content: sampleContent() });
    const table = Buffer.from('t,θ\n1,20\n');
    for (const [revision, [name, data]] of (
      [
        ['a.png', picture],
        ['a.csv', table],
      ] as const
    ).entries()) {
      await ask('attachment.add', {
        entryId: entry.id,
        revision: revision + 1,
        section: 'result',
        name,
        caption: '',
        data: data.toString('base64'),
      });
    }
    const path = `/attachment/${entry.id}/${sha256(picture)}`;
    const { origin: _origin, ...reading } = headers;
    const shown = await sendHttp(host.origin, path, { headers: reading });
    expect(shown.status).toBe(200);
    expect(shown.headers).toMatchObject({
      'content-type': 'image/png',
      'x-content-type-options': 'nosniff',
      'content-security-policy': "default-src 'none'; sandbox",
      'content-disposition': 'inline',
      'cache-control': 'no-store',
    });
    expect(sha256(shown.body)).toBe(sha256(picture));
    const text = await sendHttp(host.origin, `/attachment/${entry.id}/${sha256(table)}`, {
      headers: reading,
    });
    expect(text.headers['content-disposition']).toMatch(/^attachment; filename="a\.csv"/);

    const withoutCookie = await sendHttp(host.origin, path, { headers: { host: reading['host'] } });
    expect(withoutCookie.status).toBe(403);
    const elsewhere = await sendHttp(host.origin, `/attachment/${entry.id}/${'0'.repeat(64)}`, {
      headers: reading,
    });
    expect(elsewhere.status).toBe(404);
    await ask('session.close', {});
    expect((await sendHttp(host.origin, path, { headers: reading })).status).toBe(404);
    await host.close();
    await desk.close();
  });
});
