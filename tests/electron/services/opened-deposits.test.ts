import { execFileSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { DepositView } from '../../../core/contract/views.ts';
import { sha256 } from '../../../electron/keys/crypto.ts';
import { png } from '../export/pictures.ts';
import { departmentPassphrase, openDesk, transports, type Desk, type Name } from './open-desk.ts';

const picture = png();

describe.each(transports)('a deposit opened to be read, over %s', (transport) => {
  let desk: Desk;
  let folder: string;
  beforeEach(async () => {
    folder = mkdtempSync(join(tmpdir(), 'fairleaf-open-test-'));
    desk = await openDesk(transport);
    await desk.begin();
  });
  afterEach(async () => {
    await desk.close();
    rmSync(folder, { recursive: true, force: true });
    expect(desk.logged).toEqual([]);
  });

  const clientOf = (name: Name): string =>
    desk.running.program.sessions.all().find(([, one]) => one.person.printedName === name)?.[0] ?? '';

  /** A class of two, one entry each; Ada's was returned once and has a photograph. */
  async function deposited(): Promise<Buffer> {
    const recordIds: string[] = [];
    for (const name of ['Ada', 'Ben'] as const) {
      const recordId = await desk.record(name, `Record of ${name}`);
      recordIds.push(recordId);
      const { id } = await desk.entry(name, recordId);
      if (name === 'Ada') {
        await (
          await desk.as('Ada')
        ).get('attachment.add', {
          entryId: id,
          revision: 1,
          section: 'result',
          name: 'needles.png',
          caption: 'needles',
          data: picture.toString('base64'),
        });
        await desk.sign('Ada', id);
        await (
          await desk.as('Dr Moss')
        ).get('comment.add', { entryId: id, section: 'discussion', anchor: null, text: 'And the rest?' });
        await desk.giveBack('Dr Moss', id);
        await desk.save('Ada', id, { discussion: 'The rest stays in the mother liquor.' });
      }
      await desk.sign(name, id);
      await desk.countersign('Dr Moss', id, '8/10');
    }
    const own = await desk.as('Archive');
    let job = await own.get('record.deposit', { recordIds, departmentPassphrase });
    while (job.state === 'running') {
      await new Promise((resolve) => setTimeout(resolve, 50));
      job = await own.get('job.state', { jobId: job.id });
    }
    return Buffer.from(desk.running.jobFile(job.id, clientOf('Archive'))?.bytes ?? []);
  }
  async function open(name: Name, bytes: Buffer, size = 100_000) {
    const own = await desk.as(name);
    let depositId: string | null = null;
    for (let at = 0; at === 0 || at < bytes.length; at += size) {
      const piece: { depositId: string; sizeBytes: number } = await own.get('deposit.bring', {
        depositId,
        data: bytes.subarray(at, at + size).toString('base64'),
      });
      expect(piece.sizeBytes).toBe(Math.min(bytes.length, at + size));
      depositId = piece.depositId;
    }
    return own.ask('deposit.open', { depositId: depositId ?? '', name: '../class.zip' });
  }
  const totalEvents = async (name: Name): Promise<number> =>
    (
      await (
        await desk.as(name)
      ).get('trail.list', { entryId: null, action: null, text: null, before: null, limit: 1 })
    ).total;
  const opened = (): readonly string[] =>
    readdirSync(tmpdir()).filter((name) => name.startsWith('fairleaf-opened-'));

  it('shows its index pages, entries, earlier versions and files, and writes nothing', async () => {
    const bytes = await deposited();
    await desk.as('Dr Lind');
    const before = await totalEvents('Dr Lind');
    const folders = opened();
    const reply = await open('Dr Lind', bytes);
    if (!reply.ok) throw new Error(reply.error.code);
    const view: DepositView = reply.value;
    expect(view).toMatchObject({ name: 'class.zip', report: { isSound: true } });
    expect(view.records.map((one) => [one.owner, one.title, one.lines.length])).toEqual([
      ['Ada', 'Record of Ada', 1],
      ['Ben', 'Record of Ben', 1],
    ]);
    const [line] = view.records[0]?.lines ?? [];
    expect(line).toMatchObject({ number: 1, state: 'countersigned', mark: '8/10', versionCount: 2 });

    const own = await desk.as('Dr Lind');
    const entryId = line?.entryId ?? '';
    const entry = await own.get('deposit.entry', { entryId });
    expect(entry).toMatchObject({
      id: entryId,
      state: 'countersigned',
      owner: { printedName: 'Ada', role: 'student' },
      content: { discussion: 'The rest stays in the mother liquor.' },
      comments: [{ text: 'And the rest?', author: { printedName: 'Dr Moss', role: 'instructor' } }],
    });
    expect(Object.values(entry.permissions)).not.toContain(true);
    expect(entry.versions.map((one) => one.signatures.map((two) => two.meaning))).toEqual([
      ['performed', 'returned'],
      ['performed', 'countersigned'],
    ]);
    const first = await own.get('deposit.version', { entryId, n: 1 });
    expect(first.content.discussion).not.toBe('The rest stays in the mother liquor.');
    expect(first.computed.lines.length).toBeGreaterThan(0);

    const file = await desk.running.attachment(
      { entryId, sha256: sha256(picture), isOriginal: true },
      clientOf('Dr Lind'),
    );
    expect(file).toMatchObject({ name: 'needles.png', mediaType: 'image/png', isPicture: true });
    expect(Buffer.from(file?.bytes ?? []).equals(picture)).toBe(true);
    const strange = { entryId, sha256: '0'.repeat(64), isOriginal: true };
    expect(await desk.running.attachment(strange, clientOf('Dr Lind'))).toBeNull();

    // Nothing of it is in the notebook, and no request about entries takes its ids.
    expect(await totalEvents('Dr Lind')).toBe(before);
    for (const request of ['entry.open', 'version.read'] as const) {
      expect(await own.raw(request, { entryId, n: 1 })).toMatchObject({ ok: false });
    }
    expect((await own.get('deposit.list', {})).deposits).toHaveLength(1);
    const [made] = opened().filter((name) => !folders.includes(name));
    expect(made).toBeDefined();
    await own.get('session.close', {});
    expect(existsSync(join(tmpdir(), made ?? ''))).toBe(false);
  });

  it('is there for whoever opened it, and nobody else', async () => {
    const reply = await open('Dr Lind', await deposited());
    if (!reply.ok) throw new Error(reply.error.code);
    const entryId = reply.value.records[0]?.lines[0]?.entryId ?? '';
    const other = await desk.as('Ben');
    expect((await other.get('deposit.list', {})).deposits).toEqual([]);
    for (const [request, input] of [
      ['deposit.entry', { entryId }],
      ['deposit.version', { entryId, n: 1 }],
      ['deposit.close', { depositId: reply.value.id }],
      ['deposit.bring', { depositId: reply.value.id, data: 'AAAA' }],
      ['deposit.open', { depositId: reply.value.id, name: 'x' }],
    ] as const) {
      expect(await other.raw(request, input), request).toMatchObject({ error: { code: 'not-found' } });
    }
    const asked = { entryId, sha256: sha256(picture), isOriginal: false };
    expect(await desk.running.attachment(asked, clientOf('Ben'))).toBeNull();
  });

  it('says that it was changed, and still shows what there is', async () => {
    const zip = join(folder, 'x.zip');
    const changed = await deposited();
    execFileSync(
      'python3',
      [
        '-c',
        `import sys, zipfile, io
src = zipfile.ZipFile(io.BytesIO(sys.stdin.buffer.read()))
out = zipfile.ZipFile(sys.argv[1], 'w')
for info in src.infolist():
    data = src.read(info)
    out.writestr(info.filename, data + b' ' if info.filename.endswith('class-list.csv') else data)
out.close()`,
        zip,
      ],
      { input: changed },
    );
    const reply = await open('Dr Lind', readFileSync(zip));
    expect(reply).toMatchObject({ ok: true, value: { report: { isSound: false } } });
    expect(reply.ok && reply.value.report.findings[0]).toMatchObject({
      code: 'bag-file-changed',
      place: 'the file data/class-list.csv',
    });
  });

  it(
    'names a record that was taken out or cut short, and still shows the other',
    { timeout: 90_000 },
    async () => {
      const class2 = await deposited();
      for (const [what, code] of [
        ['continue', 'package-incomplete'],
        ['data = data[:100]', 'package-damaged'],
      ] as const) {
        const zip = join(folder, `${code}.zip`);
        execFileSync(
          'python3',
          [
            '-c',
            `import sys, zipfile, io
src = zipfile.ZipFile(io.BytesIO(sys.stdin.buffer.read()))
out = zipfile.ZipFile(sys.argv[1], 'w')
for info in src.infolist():
    data = src.read(info)
    if '/001-' in info.filename:
        ${what}
    out.writestr(info.filename, data)
out.close()`,
            zip,
          ],
          { input: class2 },
        );
        const reply = await open('Dr Lind', readFileSync(zip));
        if (!reply.ok) throw new Error(reply.error.code);
        const { report, records } = reply.value;
        expect(report.isSound).toBe(false);
        expect(report.findings.find((one) => one.code === code)?.place).toMatch(/^records\/001-ada\.zip: /);
        expect(records.map((one) => one.owner)).toEqual(['Ben']);
        const [line] = records[0]?.lines ?? [];
        const page = await (await desk.as('Dr Lind')).get('deposit.entry', { entryId: line?.entryId ?? '' });
        expect(page.owner.printedName).toBe('Ben');
      }
    },
  );

  it.each([
    ['a path that climbs out', `z.writestr('d/../../evil', 'x')`, 'package-unsafe-name'],
    ['an absolute path', `z.writestr('/etc/evil', 'x')`, 'package-unsafe-name'],
    ['a home path', `z.writestr('~/evil', 'x')`, 'package-unexpected-file'],
    [
      'one name twice',
      `z.writestr('d/bagit.txt', 'x'); z.writestr('d/bagit.txt', 'y')`,
      'package-name-twice',
    ],
    [
      'a symbolic link',
      `i = zipfile.ZipInfo('d/bagit.txt'); i.create_system = 3; i.external_attr = 0o120777 << 16; z.writestr(i, '/etc/passwd')`,
      'package-link',
    ],
    ['a bomb', `z.writestr('d/data/x', b'0' * 100_000_000)`, 'package-too-large'],
    ['two folders', `z.writestr('d/bagit.txt', 'x'); z.writestr('e/bagit.txt', 'x')`, 'package-incomplete'],
    ['nothing of a deposit', `z.writestr('d/hello.txt', 'x')`, 'package-incomplete'],
    [
      'a class list of a later format',
      `z.writestr('d/data/class-list.json', '{"format":2,"type":"class"}')`,
      'format-newer',
    ],
    [
      'a class list that reaches for the prototype',
      `z.writestr('d/data/class-list.json', '{"__proto__":{"x":1},"format":1}')`,
      'forbidden-key',
    ],
    [
      'a bundle of a later format',
      `z.writestr('d/seal/checkpoint.json', '{"bytes":"{}","hash":"' + '0' * 64 + '","signature":"' + '0' * 128 + '"}'); z.writestr('d/data/fairleaf-record.json', '{"format":2,"type":"bundle"}')`,
      'format-newer',
    ],
    [
      'more files than any deposit has',
      `[z.writestr('d/data/%d' % i, '') for i in range(50_001)]`,
      'package-too-many-files',
    ],
  ])('is refused with %s, and leaves nothing', async (_, script, reason) => {
    const path = join(folder, 'bad.zip');
    execFileSync('python3', [
      '-W',
      'ignore',
      '-c',
      `import zipfile, sys\nz = zipfile.ZipFile(sys.argv[1], 'w', zipfile.ZIP_DEFLATED)\n${script}\nz.close()`,
      path,
    ]);
    const folders = opened();
    const reply = await open('Dr Lind', readFileSync(path), 3_900_000);
    expect(reply).toMatchObject({ error: { code: 'file-unreadable', facts: { reason } } });
    expect(opened()).toEqual(folders);
  });
});
