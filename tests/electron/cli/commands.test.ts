import { spawnSync } from 'node:child_process';
import { lstatSync, mkdtempSync, readdirSync, rmSync, statSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import Database from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

const script = fileURLToPath(new URL('../../../electron/cli/fairleaf.ts', import.meta.url));
const run = (...args: string[]) => {
  const done = spawnSync(process.execPath, [script, ...args], { encoding: 'utf8', timeout: 60_000 });
  return { code: done.status, out: done.stdout, err: done.stderr };
};
const pdf = 'Entry 1 Acetylsalicylic acid.pdf';

let folder: string;
let tour: ReturnType<typeof run>;
beforeAll(() => {
  folder = join(mkdtempSync(join(tmpdir(), 'fairleaf-cli-')), 'tour');
  tour = run('tour', folder);
}, 120_000);
afterAll(() => rmSync(join(folder, '..'), { recursive: true, force: true }));

describe('fairleaf tour', () => {
  it('does the whole job and leaves a notebook and a PDF', () => {
    expect([tour.code, tour.err]).toEqual([0, '']);
    expect(readdirSync(folder).sort()).toEqual([pdf, 'tour.fairleaf']);
    expect(statSync(join(folder, pdf)).size).toBeGreaterThan(50_000);
  });

  it('prints each step with its figures', () => {
    for (const step of [1, 2, 3, 4, 5, 6, 7, 8, 9])
      expect(tour.out).toMatch(new RegExp(`^${step}  \\w`, 'm'));
    // 2.53 g of salicylic acid, 99 %, 138.12 g/mol, gives at most 3.267 g of 180.16 g/mol; worked out by hand:
    // 2.53 · 0.99 / 138.12 · 180.16 = 3.267.
    expect(tour.out).toContain('theoretical yield 3.267');
    // 2.18 / 3.267 = 66.7 %.
    expect(tour.out).toContain('pure yield 66.7');
    expect(tour.out).toContain('refused (entry-locked)');
    expect(tour.out).toContain('version 2 differs in: Discussion');
  });

  it('shows that a byte changed behind the program’s back is found, and where', () => {
    expect(tour.out).toMatch(
      /✗ entry 1 of “Practical record, second year”, version 2: This version has been changed/,
    );
  });

  it('overwrites nothing', () => {
    const again = run('tour', folder);
    expect(again.code).toBe(2);
    expect(again.err).toContain('is not empty');
    expect(again.err).not.toContain('at ');
  });
});

describe('fairleaf check', () => {
  it('finds a notebook and a PDF sound', () => {
    const { code, out } = run('check', join(folder, 'tour.fairleaf'), join(folder, pdf));
    expect(code).toBe(0);
    expect(out.match(/: sound\./g)).toHaveLength(2);
  });

  it('names the place that fails, and ends with 1', () => {
    const copy = join(folder, '..', 'copy.fairleaf');
    const source = new Database(join(folder, 'tour.fairleaf'));
    source.exec(`vacuum into '${copy}'`);
    source.close();
    const database = new Database(copy);
    database.exec('drop trigger signature_is_final');
    database.exec(
      `update signature set signature = replace(signature, substr(signature, 1, 1), '0') where n = 1`,
    );
    database.close();
    const { code, out } = run('check', copy);
    expect(code).toBe(1);
    expect(out).toContain('NOT SOUND');
    expect(out).toMatch(/✗ .*version 1/);
  });

  it('says what to do with what cannot be checked, and ends with 2', () => {
    const text = join(folder, '..', 'list.txt');
    writeFileSync(text, 'eggs');
    expect(run('check', text)).toMatchObject({ code: 2, out: '' });
    const missing = run('check', join(folder, 'nowhere'));
    expect(missing.code).toBe(2);
    expect(missing.err).toContain('There is no such file');
    expect(run('check').err).toContain('Name the file to check');
  });

  it.skipIf(process.platform === 'win32')('waits for no pipe, and follows no link in circles', () => {
    const pipe = join(folder, '..', 'pipe');
    const loop = join(folder, '..', 'loop');
    spawnSync('mkfifo', [pipe]);
    symlinkSync(loop, loop);
    expect(lstatSync(pipe).isFIFO()).toBe(true);
    for (const command of ['check', 'work-out']) {
      expect(run(command, pipe), command).toMatchObject({ code: command === 'check' ? 2 : 1, out: '' });
      expect(run(command, loop).err, command).not.toContain('    at ');
    }
    expect(run('check', loop)).toMatchObject({ code: 2, out: '' });
    expect(run('tour', loop)).toMatchObject({ code: 1, out: '' });
    const long = run('check', join(folder, 'a'.repeat(400)));
    expect(long.code).toBe(2);
    expect(long.err).toContain('There is no such file');
  });
});

describe('fairleaf', () => {
  it('lists its commands when asked for none or for one it has not', () => {
    expect(run()).toMatchObject({ code: 2 });
    expect(run('help').out).toMatch(/tour DIR[\s\S]*check FILE/);
    const unknown = run('frobnicate');
    expect([unknown.code, unknown.out]).toEqual([2, '']);
    expect(unknown.err).toContain('There is no command “frobnicate”');
    expect(run('check', '--nope', 'x')).toMatchObject({ code: 2, out: '' });
    // Names that mean something to the language are no commands.
    expect(run('constructor').code).toBe(2);
  });

  it('refuses a port that is none', () => {
    const { code, err } = run('host', '--port', '99999', '--file', join(folder, '..', 'h.fairleaf'));
    expect(code).toBe(2);
    expect(err).toContain('is not a port');
  });
});
