import { copyFileSync, mkdtempSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { CheckReport } from '../../../core/contract/views.ts';
import { checkDatabase } from '../../../electron/check/check-database.ts';
import { checkFile, fileKind } from '../../../electron/check/check-file.ts';
import { sampleNotebook, type PaperNotebook } from '../../core/record/paper-notebook.ts';
import { sampleContent } from '../../core/record/sample-content.ts';
import { withoutGuards, writeNotebookFile } from './notebook-file.ts';

let folder: string;
let original: string;
let notebook: PaperNotebook;
let count = 0;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'fairleaf-check-test-'));
  original = join(folder, 'original.fairleaf');
  notebook = sampleNotebook(sampleContent).notebook;
  await writeNotebookFile(original, notebook.tables);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** A copy of the sound file, after something was done to it. */
function tampered(act: (database: Database.Database) => void): string {
  count += 1;
  const path = join(folder, `copy-${count}.fairleaf`);
  copyFileSync(original, path);
  const database = new Database(path);
  act(database);
  database.pragma('wal_checkpoint(truncate)');
  database.close();
  return path;
}
function innerPages(path: string): ReadonlySet<number> {
  const database = new Database(path, { readonly: true });
  const pages = database
    .prepare(`select pageno from dbstat where pagetype = 'internal'`)
    .pluck()
    .all() as number[];
  database.close();
  return new Set(pages);
}
async function check(path: string): Promise<CheckReport> {
  const report = await checkFile(path, { pinnedKey: notebook.department.publicKey });
  if (!report.ok) throw new Error(report.error.code);
  return report.value;
}

describe('checkDatabase', () => {
  it('finds nothing in a file nobody touched, and leaves it byte for byte as it was', async () => {
    const before = readFileSync(original);
    const report = await check(original);
    expect(report.findings).toEqual([]);
    expect(report.isSound).toBe(true);
    expect(report.checked).toContainEqual({ what: 'signatures', count: 9 });
    expect(readFileSync(original).equals(before)).toBe(true);
  });

  it('finds a row changed with the guards taken out and put back', async () => {
    const path = tampered((database) =>
      withoutGuards(database, () =>
        database.exec(
          `update version set bytes = replace(bytes, '134', '135') where n = 1 and entry_id = 'e1'`,
        ),
      ),
    );
    const report = await check(path);
    expect(report.isSound).toBe(false);
    expect(report.findings[0]).toMatchObject({
      code: 'version-changed',
      place: 'entry 1 of “Organic preparations, A. Fennel”, version 1',
    });
  });

  it.each([
    [
      'event',
      `update event set bytes = replace(bytes, 'A first try', 'A last try')`,
      /^event \d+ of the audit trail/,
    ],
    [
      'event',
      `update event set at = '2020-01-01T00:00:00.000Z' where seq = 12`,
      /^event 12 of the audit trail/,
    ],
    ['event', `delete from event where seq = 10`, /^event 11 of the audit trail/],
    [
      'signature',
      `update signature set meaning = 'amended' where n = 1 and entry_id = 'e1' and meaning = 'performed'`,
      /^entry 1 of .*, version 1: “/,
    ],
    [
      'signature',
      `update signature set signature = replace(signature, 'a', 'b') where entry_id = 'e2'`,
      /^entry 2 of .*, version 1: “/,
    ],
    [
      'certificate',
      `update certificate set role = 'instructor' where person_id = 'ben'`,
      /^certificate \d, of Ben Sorrel/,
    ],
    [
      'certificate',
      `delete from signature where person_id = 'moss'; delete from certificate where person_id = 'moss'`,
      /^(?:a certificate|a signature|entry 1 of)/,
    ],
    ['entry', `update entry set mark = '10 of 10' where id = 'e1'`, /^entry 1 of/],
    ['person', `update person set printed_name = 'Dr H. Moos' where id = 'moss'`, /^the person Dr H\. Moos/],
    ['attachment', `update attachment set data = x'00'`, /^(?:an|the) attachment/],
    ['draft', `update draft set content = replace(content, 'a', 'b') where entry_id = 'e4'`, /^the draft of/],
  ])('names the place of a row changed behind the guards of %s: %s', async (_, sql, place) => {
    const path = tampered((database) => {
      database.pragma('foreign_keys = off');
      withoutGuards(database, () => database.exec(sql));
    });
    const { findings, isSound } = await check(path);
    expect(isSound).toBe(false);
    const first = findings.find((one) => one.code !== 'rows-without-parent');
    expect(first?.place).toMatch(place);
    expect(findings.map((one) => one.code)).not.toContain('guard-missing');
  });

  it('tells of guards that are gone, changed or new', async () => {
    const path = tampered((database) => {
      database.exec('drop trigger event_is_final');
      database.exec('drop trigger version_is_final');
      database.exec(
        `create trigger version_is_final before update on version when 0 begin select raise(abort, 'never-changed'); end`,
      );
      database.exec('create trigger helper after insert on event begin select 1; end');
    });
    const { findings, isSound } = await check(path);
    expect(isSound).toBe(true);
    expect(findings.map(({ severity, code, place }) => [severity, code, place])).toEqual([
      ['doubtful', 'guard-missing', 'the file’s trigger event_is_final'],
      ['doubtful', 'guard-changed', 'the file’s trigger version_is_final'],
      ['doubtful', 'guard-unknown', 'the file’s trigger helper'],
    ]);
  });

  it('finds a table rebuilt without its constraints', async () => {
    const path = tampered((database) => {
      database.pragma('foreign_keys = off');
      database.exec(
        'alter table comment rename to old_comment; create table comment as select * from old_comment; drop table old_comment',
      );
    });
    const codes = (await check(path)).findings.map((finding) => finding.code);
    expect(codes).toContain('guard-changed');
    expect(codes).toContain('guard-missing');
  });

  it('finds a page of the file that was overwritten', async () => {
    const path = tampered(() => undefined);
    const bytes = readFileSync(path);
    bytes.fill(0xaa, 4096 * 20, 4096 * 24);
    writeFileSync(path, bytes);
    const report = await check(path);
    expect(report.isSound).toBe(false);
    expect(report.findings.map((finding) => finding.code).join()).toMatch(/database-(damaged|unreadable)/);
  });

  it('finds a file cut short', async () => {
    const path = tampered(() => undefined);
    truncateSync(path, Math.floor(readFileSync(path).length / 2));
    const result = await checkFile(path);
    expect(result.ok ? result.value.isSound : false).toBe(false);
    expect(result.ok ? result.value.findings.length : 1).toBeGreaterThan(0);
  });

  it('finds any flipped bit in the pages that hold content, sampled over the whole file', async () => {
    const sound = readFileSync(original);
    const path = join(folder, 'flipped.fairleaf');
    const text = sound.toString('latin1');
    // Bytes of stored text: whatever stands inside a canonical object, a hash or a signature.
    const places: number[] = [];
    // Inner pages of a tree hold no text; what stands in their unused space are remains.
    const inner = innerPages(original);
    for (const match of text.matchAll(/[0-9a-f]{64}|"[a-zA-Z]+":"[^"]{4,}"/g)) {
      if (!inner.has(Math.floor((match.index + 3) / 4096) + 1)) places.push(match.index + 3);
    }
    expect(places.length).toBeGreaterThan(1000);
    const step = Math.ceil(places.length / 120);
    const missed: number[] = [];
    for (let i = 0; i < places.length; i += step) {
      const bytes = Buffer.from(sound);
      bytes[places[i]!]! ^= 1;
      writeFileSync(path, bytes);
      const result = await checkFile(path, { pinnedKey: notebook.department.publicKey });
      if (result.ok && result.value.findings.length === 0) missed.push(places[i]!);
    }
    expect(missed.map((place) => text.slice(place - 20, place + 20))).toEqual([]);
  });

  it('checks a file that the program has open, and sees one consistent state', async () => {
    const path = tampered(() => undefined);
    const writer = new Database(path);
    writer.pragma('journal_mode = wal');
    const running = check(path);
    writer.exec(`update draft set saved_at = 'later' where entry_id = 'e4'`);
    expect((await running).findings).toEqual([]);
    writer.close();
  });

  it('reports how far it is and can be broken off', async () => {
    const progress: number[] = [];
    await checkDatabase(original, { onProgress: (done) => progress.push(done) });
    expect(progress.at(-1)).toBe(1);
    expect([...progress].sort((a, b) => a - b)).toEqual(progress);
    const stop = AbortSignal.abort(new Error('stopped'));
    // A check shorter than one turn is not broken off; this one is aborted before its first.
    const outcome = await checkDatabase(original, { signal: stop }).catch((error: unknown) => error);
    expect(outcome instanceof Error ? outcome.message : 'done').toMatch(/stopped|done/);
  });

  it.each([
    ['nothing', null, 'file-missing'],
    ['an empty file', '', 'kind-unknown'],
    ['a text', 'hello', 'kind-unknown'],
    ['another program’s database', 'db', 'not-a-notebook'],
    ['a broken header', 'SQLite format 3\0nonsense', 'not-a-notebook'],
  ])('says what is wrong with %s', async (_, content, code) => {
    const path = join(folder, `other-${String(code)}-${String(content).length}`);
    if (content === 'db') {
      const database = new Database(path);
      database.exec('create table t (x)');
      database.close();
    } else if (content !== null) writeFileSync(path, content);
    const result = await checkFile(path);
    expect(result.ok ? 'ok' : result.error.code).toBe(code);
  });

  it('refuses a file from a newer version and leaves it alone', async () => {
    const path = tampered((database) => database.pragma('user_version = 999'));
    const before = readFileSync(path);
    const result = await checkFile(path);
    expect(result.ok ? 'ok' : result.error.code).toBe('newer-version');
    expect(readFileSync(path).equals(before)).toBe(true);
  });
});

describe('fileKind', () => {
  it('looks at the bytes and not at the name', () => {
    const path = join(folder, 'notebook.pdf');
    copyFileSync(original, path);
    expect(fileKind(path)).toEqual({ ok: true, value: 'notebook' });
    expect(fileKind(folder)).toEqual({ ok: true, value: 'folder' });
  });
});
