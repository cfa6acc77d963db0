/**
 * The pictures README.md shows, taken anew: `node tests/renderer/readme-pictures.ts [FOLDER]`. A real host on
 * the demo notebook and a real browser; the page of the PDF is bound by the command line's tour. Needs
 * poppler's `pdftoppm`. A palette of 256 colours keeps the files small where ImageMagick is installed.
 */
import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtemp, readdir, rename, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import {
  goTo,
  makeDemo,
  richestRecord,
  signIn,
  startDemoDesk,
  type DemoRole,
  type Light,
} from './demo-desk.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
const out = process.argv[2] ?? join(root, 'renderer/pictures');

async function keep(page: Page, name: string): Promise<void> {
  await page.waitForTimeout(600);
  const path = join(out, `${name}.png`);
  await page.screenshot({ path });
  spawnSync('convert', [path, '+dither', '-colors', '256', `PNG8:${path}`]);
}

const desk = await startDemoDesk();
const folder = await mkdtemp(join(tmpdir(), 'fairleaf-readme-'));
try {
  const first = await desk.open();
  await makeDemo(first.page);
  await first.context.close();
  const rich = await richestRecord(desk);
  const as = async (role: DemoRole, light: Light = 'day'): Promise<Page> => {
    const { page } = await desk.open({ light });
    await signIn(page, role, role === 'student' ? rich.owner : undefined);
    return page;
  };

  const student = await as('student');
  await goTo(student, `#/record/${rich.recordId}`);
  await student.getByRole('table').getByRole('link').first().click();
  await student.getByRole('heading', { level: 1 }).waitFor();
  await keep(student, 'spread');
  await student.locator('#section-reagents').evaluate((section) => section.scrollIntoView());
  await keep(student, 'reagents');
  await student.locator('#section-result').evaluate((section) => section.scrollIntoView());
  await student
    .getByRole('button', { name: /^pure yield: / })
    .last()
    .click();
  await student.getByRole('dialog', { name: /^Working/ }).waitFor();
  await keep(student, 'workings');

  const draft = rich.entries.find((entry) => entry.state === 'draft');
  const bench = await as('student', 'evening');
  await goTo(bench, `#/entry/${draft?.id ?? ''}/bench`);
  await keep(bench, 'bench');
  const instructor = await as('instructor');
  await goTo(instructor, '#/tray');
  await keep(instructor, 'tray');

  const tour = [join(root, 'electron/cli/fairleaf.ts'), 'tour', join(folder, 'tour')];
  execFileSync(process.execPath, tour, { stdio: 'ignore' });
  const bound = (await readdir(join(folder, 'tour'))).find((name) => name.endsWith('.pdf')) ?? '';
  const page = ['-r', '110', '-f', '1', '-l', '1', '-singlefile', '-png'];
  execFileSync('pdftoppm', [...page, join(folder, 'tour', bound), join(folder, 'page')]);
  await rename(join(folder, 'page.png'), join(out, 'page.png')).catch(() =>
    execFileSync('cp', [join(folder, 'page.png'), join(out, 'page.png')]),
  );
  spawnSync('convert', [join(out, 'page.png'), '+dither', '-colors', '64', `PNG8:${join(out, 'page.png')}`]);
} finally {
  await desk.stop();
  await rm(folder, { recursive: true, force: true });
}
