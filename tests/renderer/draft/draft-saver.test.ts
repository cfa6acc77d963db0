import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { emptyContent } from '../../../core/entry/empty-content.ts';
import type { Refusal } from '../../../core/contract/contract.ts';
import type { EntryContent } from '../../../core/record/content.ts';
import { fail, ok, type Result } from '../../../core/result.ts';
import { DraftSaver, longestMs, pauseMs, type SaveState } from '../../../renderer/draft/draft-saver.ts';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

const written = (discussion: string): EntryContent => ({
  ...emptyContent({ date: '2026-03-12' }),
  discussion,
});
const refusal = (code: string): Refusal => ({ code: code, where: '', facts: {} });

function harness(answer: (content: EntryContent) => Result<{ revision: number; savedAt: string }, Refusal>) {
  const sent: { revision: number; text: string; atMs: number }[] = [];
  const states: SaveState[] = [];
  const start = Date.now();
  let delayMs = 0;
  const saver = new DraftSaver({
    revision: 7,
    savedAt: 't0',
    async save(revision, content) {
      sent.push({ revision, text: content.discussion, atMs: Date.now() - start });
      if (delayMs > 0) await new Promise((resolve) => setTimeout(resolve, delayMs));
      return answer(content);
    },
    onState: (state) => void states.push(state),
  });
  return { saver, sent, states, slow: (ms: number) => (delayMs = ms) };
}
const accepting = () => {
  let revision = 7;
  return harness(() => ok({ revision: ++revision, savedAt: `t${revision}` }));
};

describe('DraftSaver', () => {
  it('saves once, after the pause, when typing stops', async () => {
    const { saver, sent, states } = accepting();
    for (const text of ['a', 'ab', 'abc']) {
      saver.touched(written(text));
      await vi.advanceTimersByTimeAsync(100);
    }
    await vi.advanceTimersByTimeAsync(pauseMs);
    expect(sent.map((one) => one.text)).toEqual(['abc']);
    expect(states.at(-1)).toEqual({ kind: 'saved', at: 't8' });
    expect(saver.isDirty).toBe(false);
  });

  it('never leaves more than two seconds of typing unsaved, however it goes on', async () => {
    const { saver, sent } = accepting();
    for (let i = 0; i < 100; i += 1) {
      saver.touched(written('x'.repeat(i + 1)));
      await vi.advanceTimersByTimeAsync(100);
    }
    const gaps = sent.map((one, i) => one.atMs - (sent[i - 1]?.atMs ?? 0));
    expect(sent.length).toBeGreaterThanOrEqual(4);
    expect(Math.max(...gaps)).toBeLessThanOrEqual(longestMs + 100);
  });

  it('sends one save at a time, each on the revision of the one before, the newest text last', async () => {
    const { saver, sent, slow } = accepting();
    slow(1000);
    saver.touched(written('first'));
    const first = saver.flush();
    saver.touched(written('second'));
    const second = saver.flush();
    await vi.advanceTimersByTimeAsync(5000);
    await Promise.all([first, second]);
    expect(sent.map(({ revision, text }) => [revision, text])).toEqual([
      [7, 'first'],
      [8, 'second'],
    ]);
    expect(saver.isDirty).toBe(false);
  });

  it('keeps what was refused and tries again by itself, with growing patience', async () => {
    let isFull = true;
    const { saver, sent, states } = harness(() =>
      isFull ? fail(refusal('storage-failed')) : ok({ revision: 8, savedAt: 't8' }),
    );
    saver.touched(written('kept'));
    await vi.advanceTimersByTimeAsync(pauseMs);
    expect(states.at(-1)).toMatchObject({ kind: 'refused', retryInMs: 2000 });
    expect(saver.pending?.discussion).toBe('kept');
    await vi.advanceTimersByTimeAsync(2000);
    expect(states.at(-1)).toMatchObject({ kind: 'refused', retryInMs: 4000 });
    isFull = false;
    await vi.advanceTimersByTimeAsync(4000);
    expect(states.at(-1)).toEqual({ kind: 'saved', at: 't8' });
    expect(sent.map((one) => one.text)).toEqual(['kept', 'kept', 'kept']);
  });

  it('stops and asks for a person when somebody else saved in between; going on needs their choice', async () => {
    let isElsewhere = true;
    const { saver, sent, states } = harness(() =>
      isElsewhere ? fail(refusal('draft-changed-elsewhere')) : ok({ revision: 10, savedAt: 't10' }),
    );
    saver.touched(written('mine'));
    await vi.advanceTimersByTimeAsync(pauseMs);
    expect(states.at(-1)).toEqual({ kind: 'elsewhere' });
    saver.touched(written('mine, and more'));
    await vi.advanceTimersByTimeAsync(60_000);
    expect(sent).toHaveLength(1);
    expect(saver.pending?.discussion).toBe('mine, and more');
    isElsewhere = false;
    saver.adopt(9, 't9');
    saver.touched(written('mine, and more'));
    await vi.advanceTimersByTimeAsync(pauseMs);
    expect(sent.at(-1)).toMatchObject({ revision: 9, text: 'mine, and more' });
  });

  it('sends nothing when nothing was typed', async () => {
    const { saver, sent } = accepting();
    await saver.flush();
    await vi.advanceTimersByTimeAsync(10_000);
    expect(sent).toEqual([]);
  });
});
