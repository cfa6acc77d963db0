import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { canonical } from '../../../core/record/canonical.ts';
import { readTrailEvent, TrailMemory } from '../../../core/record/read-event.ts';
import { readObject } from '../../../core/record/read-object.ts';
import { sampleNotebook } from './paper-notebook.ts';
import { sampleContent } from './sample-content.ts';

/** Goes along with every event read here, whole or damaged: it may change nothing. */
const memory = new TrailMemory();

/** The short way may say nothing that the long way does not say. */
function expectSame(bytes: string): void {
  const long = readObject('event', bytes);
  const short = readTrailEvent(bytes);
  expect(readTrailEvent(bytes, memory), bytes).toEqual(short);
  if (!long.ok) {
    expect(short, bytes).toEqual(long);
    return;
  }
  // The short way leaves out what a check does not need; the long way, taken in its place, does not.
  expect(short.ok, bytes).toBe(true);
  expect(long.value, bytes).toMatchObject(short.ok ? short.value : {});
  if (short.ok) expect(Object.keys(short.value).length).toBeGreaterThanOrEqual(12);
}

const events = (sampleNotebook(sampleContent).notebook.tables['event'] ?? []).map((row) =>
  String(row['bytes']),
);
const hashOf = fc.stringMatching(/^[0-9a-f]{64}$/);
const anyText = fc.string({ unit: 'binary', maxLength: 40 }).filter((text) => text.isWellFormed());
const event = fc.record({
  type: fc.constant('event' as const),
  format: fc.constant(1 as const),
  notebook: anyText,
  seq: fc.integer({ min: 1 }),
  previous: hashOf,
  at: fc
    .date({ min: new Date(0), max: new Date('2999-01-01'), noInvalidDate: true })
    .map((at) => at.toISOString()),
  offsetMinutes: fc.integer({ min: -840, max: 840 }),
  isClockBack: fc.boolean(),
  monotonicMs: fc.double({ noNaN: true, noDefaultInfinity: true }),
  device: anyText,
  actor: fc.option(
    fc.record({
      person: anyText,
      printedName: anyText,
      role: fc.constantFrom('student', 'instructor', 'department'),
    }),
  ),
  action: anyText,
  object: fc.record({
    record: fc.option(anyText),
    entry: fc.option(anyText),
    n: fc.option(fc.integer({ min: 1 })),
  }),
  changes: fc.array(fc.record({ path: anyText, old: anyText, new: anyText }), { maxLength: 3 }),
  evidence: fc.array(fc.record({ kind: anyText, id: anyText, hash: hashOf }), { maxLength: 3 }),
  reason: anyText,
});

describe('an event is read the short way and the long way alike', () => {
  it('in a notebook nobody touched', () => {
    for (const bytes of events) expectSame(bytes);
    expect(events.length).toBeGreaterThan(20);
  });

  it('after any other event that differs in one letter', () => {
    const letters = ['"', '\\', ',', '0', 'x'];
    for (const bytes of [events[8]!, events.at(-1)!]) {
      for (let place = 0; place < bytes.length; place += 1) {
        const changed = bytes.slice(0, place) + letters[place % letters.length]! + bytes.slice(place + 1);
        const of = new TrailMemory();
        readTrailEvent(bytes, of);
        expect(readTrailEvent(changed, of), changed).toEqual(readTrailEvent(changed));
        expect(readTrailEvent(bytes, of), changed).toEqual(readTrailEvent(bytes));
      }
    }
  });

  it('whatever stands in it', () => {
    fc.assert(
      fc.property(event, (one) => {
        const bytes = canonical(one);
        expect(readObject('event', bytes).ok).toBe(true);
        expectSame(bytes);
      }),
      { numRuns: 500 },
    );
  });

  it('with any one letter changed, taken out or put in', () => {
    const letters = ['"', '\\', ',', '}', ' ', '0', '-', 'e', '\u0000', '\ud800', 'x'];
    for (const bytes of [events[3]!, events[8]!, events.at(-1)!]) {
      for (let place = 0; place < bytes.length; place += 1) {
        const [before, after] = [bytes.slice(0, place), bytes.slice(place + 1)];
        expectSame(before + after);
        const letter = letters[place % letters.length]!;
        expectSame(before + letter + after);
        expectSame(before + letter + bytes[place]! + after);
      }
    }
  });

  it.each([
    [
      'another order of members',
      (text: string) => text.replace(/^\{("action":"[^"]*"),("actor":[^}]*\}),/, '{$2,$1,'),
    ],
    ['white space', (text: string) => text.replace('"seq":', '"seq": ')],
    ['1.0 for 1', (text: string) => text.replace('"format":1', '"format":1.0')],
    ['an exponent', (text: string) => text.replace(/"monotonicMs":\d+/, '"monotonicMs":1e3')],
    ['a member too many', (text: string) => text.replace('"type":"event"', '"type":"event","x":1')],
    ['a newer format', (text: string) => text.replace('"format":1', '"format":2')],
    ['a name too long', (text: string) => text.replace(/"device":"/, `"device":"${'x'.repeat(401)}`)],
    ['another role', (text: string) => text.replace('"role":"student"', '"role":"dean"')],
    ['a month too many', (text: string) => text.replace(/"at":"\d{4}-\d\d/, '"at":"2027-13')],
  ])('with %s', (_, change) => {
    const bytes = events.find((text) => text.includes('"role":"student"'))!;
    expect(change(bytes)).not.toBe(bytes);
    expectSame(change(bytes));
    expect(readTrailEvent(change(bytes)).ok).toBe(false);
  });
});
