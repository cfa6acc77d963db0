import { describe, expect, it } from 'vitest';
import { computeEntry } from '../../../core/entry/compute-entry.ts';
import { snapshot } from '../../../core/entry/snapshot.ts';
import type { PlannedStep, TimeMark } from '../../../core/record/content.ts';
import { contentFromTemplate, templates } from '../../../core/templates/index.ts';
import { asSigned, signedText } from '../../../renderer/draft/as-signed.ts';
import { toReadable, toStored } from '../../../renderer/draft/step-text.ts';
import { clockFace, clockText, correctMark, originalClockText } from '../../../renderer/draft/time-marks.ts';
import { pressKey } from '../../../renderer/features/bench/keypad.ts';
import { withPhrase } from '../../../renderer/features/bench/seen-phrases.ts';
import { timerState } from '../../../renderer/features/bench/timer-words.ts';
import { decimalsOf, padded } from '../../../renderer/features/spread/decimals.ts';
import { formulaPieces } from '../../../renderer/features/spread/formula-layout.ts';

const fresh = (id: string) => {
  let next = 0;
  return contentFromTemplate(
    templates.find((one) => one.id === id)!,
    {
      date: '2026-03-12',
      newId: () => `id-${++next}`,
    },
  );
};

describe('step text', () => {
  it('reads in words and is stored by row, for every step of every template', () => {
    for (const template of templates) {
      const content = fresh(template.id);
      for (const step of content.steps) {
        const readable = toReadable(step.text, content.rows);
        expect(toStored(readable, content.rows)).toBe(step.text);
      }
    }
  });
  it('leaves brackets that name nothing, and rows that share a name, as they are', () => {
    const { rows } = fresh('acetylsalicylic-acid');
    expect(toStored('[mass of unicorn hair]', rows)).toBe('[mass of unicorn hair]');
    const twins = rows.map((row) => ({ ...row, name: 'water' }));
    expect(toReadable(`{mass:${rows[0]!.id}}`, twins)).toBe(`{mass:${rows[0]!.id}}`);
  });
});

describe('time marks', () => {
  const mark: TimeMark = { at: '2026-07-01T22:45:10.000Z', offsetMinutes: 120, correction: null };
  it('show the clock of the place they were taken at', () => {
    expect(clockText(mark)).toBe('00:45');
    expect(clockText({ ...mark, offsetMinutes: -300 })).toBe('17:45');
  });
  it('are corrected on the same local day, with a reason, and keep what the program wrote', () => {
    const corrected = correctMark(mark, '00:30', ' pressed late ')!;
    expect(corrected.correction).toEqual({ at: '2026-07-01T22:30:00.000Z', reason: 'pressed late' });
    expect([clockText(corrected), originalClockText(corrected)]).toEqual(['00:30', '00:45']);
    expect(correctMark(mark, '00:30', '  ')).toBeNull();
    expect(correctMark(mark, '24:00', 'x')).toBeNull();
    expect(correctMark(mark, 'noon', 'x')).toBeNull();
  });
  it('a clock left running for a day is said to be not ended', () => {
    expect(clockFace(3_723_000, true)).toBe('1:02:03');
    expect(clockFace(25 * 3_600_000, true)).toBe('not ended');
    expect(clockFace(25 * 3_600_000, false)).toBe('25:00:00');
  });
});

describe('timerState', () => {
  const step = (patch: Partial<PlannedStep>): PlannedStep => ({
    id: 's',
    text: '',
    caution: '',
    limits: [],
    holdPoint: '',
    plannedMinutes: null,
    ...patch,
  });
  const window = step({
    limits: [{ kind: 'duration', from: { text: '15', unit: 'min' }, to: { text: '0.5', unit: 'h' } }],
  });
  const minutes = (n: number): number => n * 60_000;
  it.each([
    [0, 'before', '15:00 to go'],
    [10, 'before', '5:00 to go'],
    [15, 'within', 'in the window, 15:00 left'],
    [31, 'past', '1:00 over the time'],
  ] as const)('after %i min of 15 to 30 is %s', (gone, kind, text) => {
    expect(timerState(window, minutes(gone))).toMatchObject({ kind, text });
  });
  it('counts down to a planned time, which is no limit', () => {
    const planned = step({ plannedMinutes: { text: '10', unit: 'min' } });
    expect(timerState(planned, minutes(4)).text).toBe('6:00 to go');
    expect(timerState(planned, minutes(40))).toMatchObject({ kind: 'within', text: 'planned time is over' });
  });
  it('says nothing without a limit, or with one that cannot be read', () => {
    expect(timerState(step({}), minutes(5)).kind).toBe('open');
    const nonsense = step({ limits: [{ kind: 'duration', from: { text: 'soon', unit: 'min' }, to: null }] });
    expect(timerState(nonsense, minutes(5)).kind).toBe('open');
  });
});

describe('the keypad', () => {
  const press = (...keys: string[]): string => keys.reduce(pressKey, '');
  it('lets in only what can become a number', () => {
    expect(press('7', '8', '.', '5')).toBe('78.5');
    expect(press('.', '5', '.')).toBe('0.5');
    expect(press('0', '7')).toBe('7');
    expect(press('sign', '4')).toBe('-4');
    expect(press('4', 'sign', 'sign')).toBe('4');
    expect(press('1', '2', 'back')).toBe('1');
    expect(press(...'123456789'.split(''))).toBe('12345678');
  });
});

describe('withPhrase', () => {
  it('puts the phrase behind what stands there, with its time, as sentences', () => {
    expect(withPhrase('', '14:05', 'crystals form')).toBe('14:05 crystals form.');
    expect(withPhrase('Warm', '14:05', 'cloudy')).toBe('Warm. 14:05 cloudy.');
    expect(withPhrase('Warm. ', '14:05', 'cloudy')).toBe('Warm. 14:05 cloudy.');
  });
});

describe('decimal alignment', () => {
  it('pads with spaces as wide as the missing figures and the missing point', () => {
    expect(['12', '1.5', '1.50', '2.46\u2009×\u200910³'].map(decimalsOf)).toEqual([0, 1, 2, 0]);
    expect(padded('12', 2)).toBe('\u2008\u2007\u2007');
    expect(padded('1.5', 2)).toBe('\u2007');
    expect(padded('1.50', 2)).toBe('');
    expect(padded('2.46\u2009×\u200910³', 2)).toBe('');
  });
});

describe('formulaPieces', () => {
  it('sets one division as a fraction and leaves the rest on the line', () => {
    expect(formulaPieces('n = m · w / M')).toEqual([
      { kind: 'text', markup: 'n' },
      { kind: 'text', markup: ' = ' },
      { kind: 'fraction', over: 'm · w', under: 'M' },
    ]);
    expect(formulaPieces('y = 100 % · m / m_{theo}').at(-1)).toEqual({
      kind: 'fraction',
      over: '100 % · m',
      under: 'm_{theo}',
    });
    for (const display of ['a = b / c / d', 'a = b + c / d', 'a = (b / c)']) {
      expect(formulaPieces(display).every((piece) => piece.kind === 'text')).toBe(true);
    }
  });
  it('loses nothing of any formula the engine prints', () => {
    const letters = (text: string): string => text.replaceAll(/[\s()/]/gu, '');
    for (const template of templates) {
      for (const { display } of computeEntry(fresh(template.id)).workings) {
        const set = formulaPieces(display).map((one) =>
          one.kind === 'text' ? one.markup : one.over + one.under,
        );
        expect(letters(set.join(''))).toBe(letters(display));
      }
    }
  });
});

describe('asSigned', () => {
  const computation = computeEntry(fresh('acetylsalicylic-acid'));
  it('finds nothing otherwise in what was just frozen', () => {
    expect(asSigned(snapshot(computation), computation).lines.size).toBe(0);
  });
  it('finds the value that an older engine worked out otherwise, and shows that one', () => {
    const frozen = snapshot(computation);
    const at = frozen.lines.findIndex((line) => line.value.includes(' ± '));
    const lines = frozen.lines.map((line, i) => (i === at ? { ...line, value: '9.99 ± 0.11' } : line));
    const signed = asSigned({ engine: 'an older engine', lines }, computation);
    expect([...signed.lines.values()].map((line) => line.value)).toEqual(['9.99 ± 0.11']);
    const line = { ...lines[at]!, unit: 'g' };
    expect(signedText(line, true)).toBe('(9.99 ± 0.11)\u2009g');
    expect(signedText(line, false)).toBe('9.99\u2009g');
  });
});
