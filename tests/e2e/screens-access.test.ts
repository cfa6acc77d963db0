import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  askFrom,
  goTo,
  isTooWide,
  lights,
  makeDemo,
  richestRecord,
  signIn,
  sizes,
  startDemoDesk,
  type DemoDesk,
  type RichRecord,
  type Size,
} from '../renderer/demo-desk.ts';

let desk: DemoDesk;
let axe = '';
let rich: RichRecord;
beforeAll(async () => {
  axe = await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
  desk = await startDemoDesk();
  const { page, context } = await desk.open();
  expect(await violations(page)).toEqual([]);
  await makeDemo(page);
  await context.close();
  rich = await richestRecord(desk);
  // Entries in several states, or these tests look at less than they promise.
  expect(rich.entries.length).toBeGreaterThanOrEqual(3);
});
afterAll(async () => desk.stop());

/** Every page that concerns the richest record. */
const places = (): readonly string[] => [
  '#/shelf',
  `#/record/${rich.recordId}`,
  '#/trail',
  '#/check',
  '#/people',
  ...rich.entries.flatMap(({ id, versions }) => [
    `#/entry/${id}`,
    `#/entry/${id}/versions`,
    ...(versions > 0 ? [`#/entry/${id}/version/1`] : []),
  ]),
];

/** What axe-core finds, with the first places of each: an empty list is what is wanted. */
async function violations(page: Page): Promise<readonly string[]> {
  await page.evaluate(axe);
  return page.evaluate(async () => {
    const { axe: tool } = globalThis as unknown as {
      axe: {
        run(): Promise<{ violations: { id: string; nodes: { html: string; failureSummary?: string }[] }[] }>;
      };
    };
    const found = await tool.run();
    return found.violations.map(
      ({ id, nodes }) =>
        `${id}: ${nodes
          .slice(0, 3)
          .map((node) => `${node.html.slice(0, 140)} (${(node.failureSummary ?? '').split('\n')[1]?.trim()})`)
          .join(' | ')}`,
    );
  });
}

describe.each(lights)('in the light “%s”', (light) => {
  it('has no violation that axe-core knows of, on any page', async () => {
    const { page, context } = await desk.open({ light });
    await page.getByRole('heading', { name: 'Whose record?' }).waitFor();
    expect(await violations(page)).toEqual([]);
    await signIn(page, 'instructor');
    for (const place of [...places(), '#/tray']) {
      await goTo(page, place);
      expect(await violations(page), `${place} as instructor`).toEqual([]);
    }
    await page.getByRole('button', { name: 'Light' }).click();
    expect(await violations(page), 'the menu of lights').toEqual([]);
    await context.close();
  });

  it('has none on the pages a student writes on', async () => {
    const { page, context } = await desk.open({ light });
    await signIn(page, 'student', rich.owner);
    for (const place of [...places(), `#/record/${rich.recordId}/new`]) {
      await goTo(page, place);
      if (place.endsWith('/new')) await page.getByRole('radio').nth(1).check();
      expect(await violations(page), `${place} as student`).toEqual([]);
    }
    await goTo(page, '#/shelf');
    await page.getByRole('button', { name: 'New practical record' }).click();
    await page.getByRole('dialog').waitFor();
    expect(await violations(page), 'a new practical record').toEqual([]);
    await page.keyboard.press('Escape');
    const draft = rich.entries.find((entry) => entry.state === 'draft' || entry.state === 'returned')!;
    await goTo(page, `#/entry/${draft.id}`);
    await page.getByRole('button', { name: /^Sign and hand in/ }).click();
    await page.getByRole('button', { name: /I have read this/ }).click();
    expect(await violations(page), 'the signing dialog').toEqual([]);
    await context.close();
  });
});

describe.each(Object.keys(sizes) as Size[])('in a window of size “%s”', (size) => {
  it('is never wider than the window, in any light', async () => {
    for (const light of lights) {
      const { page, context } = await desk.open({ size, light });
      await signIn(page, 'student', rich.owner);
      for (const place of [...places(), `#/record/${rich.recordId}/new`]) {
        await goTo(page, place);
        expect(await isTooWide(page), `${place}, ${light}`).toBe(false);
      }
      await context.close();
    }
  });
});

describe('with the keyboard alone', () => {
  /** Presses Tab until what has the focus fits; its visible ring is checked at every stop. */
  async function tabTo(page: Page, name: RegExp): Promise<void> {
    for (let i = 0; i < 80; i += 1) {
      await page.keyboard.press('Tab');
      const stop = await page.evaluate(() => {
        const element = document.activeElement as HTMLElement;
        const label = (element as HTMLInputElement).labels?.[0]?.textContent ?? '';
        const ring = [element, element.closest('label')].some(
          (one) => one !== null && getComputedStyle(one).outlineStyle !== 'none',
        );
        return {
          name: `${element.getAttribute('aria-label') ?? ''} ${label} ${element.textContent ?? ''}`.trim(),
          hasRing: ring,
          tag: element.tagName,
        };
      });
      if (stop.tag !== 'BODY')
        expect(stop.hasRing, `a visible ring at “${stop.name.slice(0, 60)}”`).toBe(true);
      if (name.test(stop.name)) return;
    }
    throw new Error(`Tab never came to ${String(name)}`);
  }

  it('signs in, goes to the index page, begins an entry, and locks', async () => {
    const { page, context } = await desk.open();
    const { people, demoPassphrase } = await askFrom(page, 'setup.state', {});
    const student = people.find((person) => person.role === 'student')!;
    await page.getByRole('heading', { name: 'Whose record?' }).waitFor();
    await tabTo(page, new RegExp(student.printedName));
    await page.keyboard.press('Enter');
    // The cursor is in the field by itself.
    await expect.poll(() => page.evaluate(() => document.activeElement?.tagName)).toBe('INPUT');
    await page.keyboard.type(demoPassphrase ?? '');
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'Shelf' }).waitFor();

    // From the page itself: the focus is on it, past the spine.
    await tabTo(page, /^Index page/);
    await page.keyboard.press('Enter');
    await page.getByRole('columnheader', { name: 'Preparation' }).waitFor();
    await tabTo(page, /^New entry/);
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'New entry' }).waitFor();
    await tabTo(page, /empty entry/);
    await page.keyboard.press('Space');
    await page.getByRole('textbox', { name: 'Title' }).waitFor();
    await tabTo(page, /^Title/);
    await page.keyboard.type('Begun by keyboard');
    await page.keyboard.press('Enter');
    await expect.poll(() => page.evaluate(() => location.hash)).toMatch(/^#\/entry\//);

    await page.getByRole('button', { name: /student/ }).focus();
    await page.keyboard.press('Enter');
    await page.keyboard.press('ArrowDown');
    await page.getByRole('menuitem', { name: /^Lock/ }).waitFor();
    await page.keyboard.press('Home');
    await page.keyboard.press('Enter');
    await page.getByText('The page is locked').waitFor();
    await context.close();
  });
});
