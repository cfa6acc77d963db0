import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { emptyContent } from '../../core/entry/empty-content.ts';
import type { EntryContent } from '../../core/record/content.ts';
import { contentFromTemplate, templates } from '../../core/templates/index.ts';
import {
  askFrom,
  goTo,
  lights,
  makeDemo,
  signIn,
  startDemoDesk,
  type DemoDesk,
  type DeskWindow,
} from '../renderer/demo-desk.ts';

let desk: DemoDesk;
let recordId = '';
beforeAll(async () => {
  desk = await startDemoDesk();
  const { page, context } = await desk.open();
  await makeDemo(page);
  await signIn(page, 'student');
  recordId = (await askFrom(page, 'record.list', {})).records[0]!.id;
  await context.close();
});
afterAll(async () => desk.stop());

const template = (): EntryContent => {
  let id = 0;
  return contentFromTemplate(
    templates.find((one) => one.id === 'acetylsalicylic-acid')!,
    {
      date: '2026-03-12',
      newId: () => `id-${++id}`,
    },
  );
};
async function openFresh(content: EntryContent = emptyContent({ date: '2026-03-12' })) {
  const window = await desk.open();
  await signIn(window.page, 'student');
  const view = await askFrom(window.page, 'entry.begin', { recordId, content });
  await goTo(window.page, `#/entry/${view.id}`);
  return { ...window, entryId: view.id };
}
const discussion = (page: Page) => page.getByRole('textbox', { name: 'discussion' });
const saved = async (page: Page, entryId: string): Promise<EntryContent> =>
  (await askFrom(page, 'entry.open', { entryId })).content;
/** Another window of the same person on the same entry. */
async function second(entryId: string): Promise<DeskWindow> {
  const window = await desk.open();
  await signIn(window.page, 'student');
  await goTo(window.page, `#/entry/${entryId}`);
  return window;
}

describe('typing', () => {
  it('is in the notebook after a pause, and the page says when', async () => {
    const { page, context, entryId, faults } = await openFresh();
    await discussion(page).focus();
    await page.keyboard.type('The yield suffered in the wash.');
    await page.getByText(/^saved \d\d:\d\d:\d\d$/).waitFor();
    await expect
      .poll(async () => (await saved(page, entryId)).discussion)
      .toBe('The yield suffered in the wash.');
    expect(faults).toEqual([]);
    await context.close();
  });

  it('reaches the notebook at least every two seconds while it goes on without a pause', async () => {
    const { page, context, entryId } = await openFresh();
    await discussion(page).focus();
    const start = Date.now();
    // A key every 100 ms for 4 s: never a pause of 600 ms.
    while (Date.now() - start < 4000) {
      await page.keyboard.press('x');
      await page.waitForTimeout(80);
    }
    const typed = (await discussion(page).inputValue()).length;
    const kept = (await saved(page, entryId)).discussion.length;
    expect(kept).toBeGreaterThan(typed * 0.4);
    await context.close();
  });

  it('survives a reload in the middle of a word', async () => {
    const { page, context, entryId } = await openFresh();
    await discussion(page).focus();
    await page.keyboard.type('Half a thou');
    await page.reload();
    await expect.poll(() => discussion(page).inputValue()).toBe('Half a thou');
    await expect.poll(async () => (await saved(page, entryId)).discussion).toBe('Half a thou');
    await context.close();
  });

  it('loses at most the last two seconds when the page is killed', async () => {
    const { page, context, entryId } = await openFresh();
    await discussion(page).focus();
    await page.keyboard.type('Written before the crash.');
    await page.waitForTimeout(2000);
    await page.keyboard.type(' Gone with it.');
    const session = await context.newCDPSession(page);
    // Neither pagehide nor any other event reaches a page that crashes.
    void session.send('Page.crash').catch(() => undefined);
    await page.waitForEvent('crash');
    await context.close();
    const again = await second(entryId);
    await expect.poll(() => discussion(again.page).inputValue()).toContain('Written before the crash.');
    await again.context.close();
  });

  it('keeps everything and says why when the notebook refuses, then saves by itself', async () => {
    const { page, context, entryId } = await openFresh();
    await page.route('**/ask/draft.save', (route) =>
      route.fulfill({
        contentType: 'application/json',
        body: JSON.stringify({
          ok: false,
          error: { code: 'storage-failed', where: '', facts: { reason: 'disk-full' } },
        }),
      }),
    );
    await discussion(page).fill('Typed on a full disk.');
    await page.getByRole('alert').filter({ hasText: 'The disk is full' }).waitFor();
    expect(await discussion(page).inputValue()).toBe('Typed on a full disk.');
    await page.unroute('**/ask/draft.save');
    await page.getByText(/^saved /).waitFor({ timeout: 20_000 });
    expect((await saved(page, entryId)).discussion).toBe('Typed on a full disk.');
    await context.close();
  });

  it('takes 100 kB pasted into a text, emoji and writing from right to left', async () => {
    const { page, context, entryId } = await openFresh();
    const long = `🧪 ‏شفاف ${'a'.repeat(100_000)}`;
    await discussion(page).fill(long);
    await page.getByText(/^saved /).waitFor();
    await expect.poll(async () => (await saved(page, entryId)).discussion).toBe(long);
    await context.close();
  });
});

describe('two windows on one entry', () => {
  it('shows both drafts and lets the person choose; either way nothing is lost', async () => {
    const first = await openFresh();
    const other = await second(first.entryId);
    await discussion(other.page).fill('From the other window.');
    await other.page.getByText(/^saved /).waitFor();
    await expect
      .poll(async () => (await saved(first.page, first.entryId)).discussion)
      .toBe('From the other window.');
    await discussion(first.page).fill('From this window.');
    const both = first.page.getByRole('alert', { name: 'Two drafts' });
    await both.getByText('From the other window.').waitFor();
    await both.getByText('From this window.').waitFor();
    await both.getByRole('button', { name: 'Keep what is on this page' }).click();
    await expect
      .poll(async () => (await saved(first.page, first.entryId)).discussion)
      .toBe('From this window.');

    await discussion(other.page).fill('A second try.');
    const again = other.page.getByRole('alert', { name: 'Two drafts' });
    await again.getByRole('button', { name: 'Take the other draft' }).click();
    await expect.poll(() => discussion(other.page).inputValue()).toBe('From this window.');
    await other.page.getByRole('button', { name: 'Take back: took the other draft' }).click();
    await expect.poll(() => discussion(other.page).inputValue()).toBe('A second try.');
    await first.context.close();
    await other.context.close();
  });
});

describe('the bench', () => {
  it('keeps a running clock through a reload, takes a reading on the pad and ticks the step', async () => {
    const { page, context, entryId, faults } = await openFresh(template());
    await page.getByRole('button', { name: 'At the bench' }).click();
    await page.getByRole('button', { name: 'Start the clock' }).click();
    await page.waitForTimeout(2200);
    await page.reload();
    const clock = page.getByRole('timer');
    await expect.poll(async () => Number((await clock.innerText()).split(':')[1])).toBeGreaterThanOrEqual(2);
    await page.getByRole('button', { name: 'Reading …' }).click();
    for (const key of ['7', '8', 'point', '5'])
      await page.getByRole('button', { name: key, exact: true }).click();
    await page.getByRole('button', { name: 'Write it down' }).click();
    await page.getByRole('button', { name: 'clear solution' }).click();
    await page.getByRole('button', { name: 'Done, next step' }).click();
    await page.getByText('Step 2').first().waitFor();
    await page.keyboard.press('ArrowLeft');
    await page.getByText('Step 1').first().waitFor();
    await expect
      .poll(async () => {
        const content = await saved(page, entryId);
        const record = content.stepRecords.find((one) => one.stepId === content.steps[0]!.id);
        return [
          record?.readings[0]?.entered.text,
          /^\d\d:\d\d clear solution\.$/.test(record?.seen ?? ''),
          record?.started !== null && record?.done !== null,
        ];
      })
      .toEqual(['78.5', true, true]);
    expect(faults).toEqual([]);
    await context.close();
  });

  it('writes what was really taken from the step that asks for it', async () => {
    const { page, context, entryId } = await openFresh(template());
    await page.getByRole('button', { name: 'At the bench' }).click();
    await page
      .getByRole('button', { name: /^taken … : ?salicylic acid$/ })
      .or(page.getByRole('button', { name: /taken.*salicylic acid/ }))
      .first()
      .click();
    await page.keyboard.type('2.03');
    await page.getByRole('button', { name: 'Write it down' }).click();
    await expect
      .poll(async () => {
        const row = (await saved(page, entryId)).rows.find((one) => one.name === 'salicylic acid');
        return row?.taken?.entered;
      })
      .toEqual({ text: '2.03', unit: 'g' });
    await context.close();
  });
});

describe('axe-core', () => {
  it.each(lights)('finds nothing on the spread and the bench in the light “%s”', async (light) => {
    const axe = await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
    const { page, context } = await desk.open({ light });
    await signIn(page, 'student');
    const { id } = await askFrom(page, 'entry.begin', { recordId, content: template() });
    const violations = async (): Promise<readonly string[]> => {
      await page.evaluate(axe);
      return page.evaluate(async () => {
        const { axe: tool } = globalThis as unknown as {
          axe: {
            run(): Promise<{
              violations: { id: string; nodes: { html: string; failureSummary?: string }[] }[];
            }>;
          };
        };
        return (await tool.run()).violations.map(
          (one) =>
            `${one.id}: ${one.nodes
              .slice(0, 4)
              .map((node) => `${node.html.slice(0, 160)} (${node.failureSummary?.split('\n')[1]?.trim()})`)
              .join(' | ')}`,
        );
      });
    };
    await goTo(page, `#/entry/${id}`);
    await page.getByRole('button', { name: 'Details of acetic anhydride' }).click();
    await page.getByRole('textbox', { name: /^mass of salicylic acid, taken/ }).fill('3');
    await page.getByRole('button', { name: 'start the timer of step 2' }).click();
    expect(await violations(), 'the spread').toEqual([]);
    await page
      .getByRole('button', { name: /^theoretical yield, planned/ })
      .first()
      .click();
    expect(await violations(), 'a working').toEqual([]);
    await page.keyboard.press('Escape');
    await page.getByRole('button', { name: 'Another size …' }).click();
    expect(await violations(), 'another size').toEqual([]);
    await page.keyboard.press('Escape');
    await goTo(page, `#/entry/${id}/bench`);
    await page.getByRole('timer').waitFor();
    expect(await violations(), 'the bench').toEqual([]);
    await page.getByRole('button', { name: 'Reading …' }).click();
    expect(await violations(), 'the keypad').toEqual([]);
    await context.close();
  });
});
