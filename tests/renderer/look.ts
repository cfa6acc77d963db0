/**
 * Pictures of every screen, for eyes to judge: `node tests/renderer/look.ts FOLDER [PLACE…]`.
 * A real host, the demo notebook, each place in three lights and at two window sizes; each picture
 * shows the whole page. Ends with a list of what is wider than its window or logged an error.
 */
import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import {
  goTo,
  isTooWide,
  lights,
  makeDemo,
  richestRecord,
  signIn,
  sizes,
  startDemoDesk,
  type DemoRole,
  type Light,
  type RichRecord,
  type Size,
} from './demo-desk.ts';
import { furtherPlaces, makeLookProps, type LookProps, type Place } from './look-places.ts';

const [folder, ...wanted] = process.argv.slice(2);
if (folder === undefined) {
  console.error('Say where the pictures go: node tests/renderer/look.ts FOLDER [PLACE…]');
  process.exit(2);
}
const out: string = folder;
await mkdir(out, { recursive: true });
const isWanted = (name: string): boolean => wanted.length === 0 || wanted.some((part) => name.includes(part));
/** False when every wish names another role, light or size: then nobody need sign in for it. */
const isWorthOpening = (role: string, light: string, size: string): boolean => {
  const known = ['student', 'instructor', 'department', ...lights, ...Object.keys(sizes)];
  return (
    wanted.length === 0 ||
    wanted.some((part) =>
      part.split('-').every((word) => !known.includes(word) || [role, light, size].includes(word)),
    )
  );
};
const remarks: string[] = [];

/** The places of a role, with one entry in each state the demo has. */
function placesFor(role: DemoRole, rich: RichRecord): readonly Place[] {
  const places: Place[] = [
    ['shelf', '#/shelf'],
    ['index', `#/record/${rich.recordId}`],
    ['trail', '#/trail'],
    [
      'check',
      '#/check',
      async (shown) => {
        await shown.getByRole('button', { name: 'Check this notebook' }).click();
        await shown.getByText('What was checked').waitFor();
      },
    ],
    ['people', '#/people'],
  ];
  if (role === 'instructor') places.push(['tray', '#/tray']);
  if (role === 'student') {
    places.push([
      'new-entry',
      `#/record/${rich.recordId}/new`,
      (shown) => shown.getByRole('radio').nth(1).check(),
    ]);
  }
  for (const { id, state, versions } of rich.entries) {
    if (role !== 'student' && versions === 0 && state !== 'struck-out') continue;
    places.push([`entry-${state}`, `#/entry/${id}`]);
    if (role === 'student' && (state === 'draft' || state === 'returned')) {
      places.push([`bench-${state}`, `#/entry/${id}/bench`]);
    }
  }
  const versioned = rich.entries.toSorted((a, b) => b.versions - a.versions)[0];
  if (versioned !== undefined && versioned.versions > 0) {
    places.push(['versions', `#/entry/${versioned.id}/versions`]);
    places.push(['version', `#/entry/${versioned.id}/version/1`]);
  }
  return places;
}

async function take(page: Page, name: string): Promise<void> {
  await page.waitForTimeout(350);
  if (await isTooWide(page)) remarks.push(`${name}: wider than its window`);
  await page.screenshot({ path: join(out, `${name}.png`) });
  // The page scrolls inside the window: a taller window shows all of it.
  const full = await page.evaluate(() => document.querySelector('main')?.scrollHeight ?? 0);
  const size = page.viewportSize();
  if (size !== null && full > size.height + 8) {
    await page.setViewportSize({ width: size.width, height: Math.min(full, 6000) });
    await page.waitForTimeout(150);
    await page.screenshot({ path: join(out, `${name}-whole.png`) });
    await page.setViewportSize(size);
  }
}

interface Look {
  readonly role: DemoRole;
  readonly light: Light;
  readonly size: Size;
}

async function lookAs({ role, light, size }: Look, rich: RichRecord, props: LookProps): Promise<void> {
  if (!isWorthOpening(role, light, size)) return;
  const { page, context, faults } = await desk.open({ light, size });
  await signIn(page, role, role === 'student' ? rich.owner : undefined);
  for (const [place, hash, then] of [...placesFor(role, rich), ...furtherPlaces(role, rich, props)]) {
    const name = [place, role, light, size].join('-');
    if (!isWanted(name)) continue;
    try {
      // By way of another place, so that no dialog of the picture before is still open.
      await page.goto(`${new URL(page.url()).origin}/#/shelf`);
      await goTo(page, hash);
      await then?.(page);
      await take(page, name);
    } catch (error) {
      await page.screenshot({ path: join(out, `${name}-failed.png`) });
      remarks.push(
        `${name}: ${error instanceof Error ? (error.message.split('\n')[0] ?? '') : String(error)}`,
      );
    }
  }
  remarks.push(...faults.map((fault) => `${role}, ${light}, ${size}: ${fault}`));
  await context.close();
}

const desk = await startDemoDesk();
let props: LookProps | null = null;
try {
  const first = await desk.open();
  await take(first.page, 'welcome-day-wide');
  await makeDemo(first.page);
  await first.context.close();
  const rich = await richestRecord(desk);
  props = await makeLookProps(desk, rich);
  for (const light of lights) {
    for (const size of Object.keys(sizes) as Size[]) {
      if (isWanted(`sign-in-${light}-${size}`)) {
        const { page, context } = await desk.open({ light, size });
        await page.getByRole('heading', { name: 'Whose record?' }).waitFor();
        await take(page, `sign-in-${light}-${size}`);
        await context.close();
      }
      for (const role of ['student', 'instructor', 'department'] as const) {
        await lookAs({ role, light, size }, rich, props);
      }
    }
  }
} finally {
  await props?.drop();
  await desk.stop();
}
console.log(remarks.length === 0 ? 'Nothing to remark.' : [...new Set(remarks)].join('\n'));
