import { describe, expect, it } from 'vitest';
import { addressOf, placeAt } from '../../renderer/app/address.ts';
import type { Place } from '../../renderer/app/places.ts';

const places: readonly Place[] = [
  { at: 'shelf' },
  { at: 'tray' },
  { at: 'check' },
  { at: 'people' },
  { at: 'trail', entryId: null },
  { at: 'trail', entryId: 'e 1/2' },
  { at: 'record', recordId: 'r#1' },
  { at: 'new-entry', recordId: 'r1' },
  { at: 'entry', entryId: 'e1', section: null },
  { at: 'entry', entryId: 'e1', section: 'discussion' },
  { at: 'bench', entryId: 'e1' },
  { at: 'version', entryId: 'e1', n: 2 },
  { at: 'versions', entryId: 'e1', from: null, to: null },
  { at: 'versions', entryId: 'e1', from: 1, to: 2 },
  { at: 'versions', entryId: 'e1', from: 2, to: null },
];

describe('addressOf and placeAt', () => {
  it.each(places)('lead back to the same place: %j', (place) => {
    expect(placeAt(addressOf(place))).toEqual(place);
  });

  it.each([
    '',
    '#',
    '#/',
    '#/nowhere',
    '#/record/',
    '#/entry',
    '#/entry/e1/elsewhere',
    '#/entry/e1/version/0',
    '#/entry/e1/version/1e9',
    '#/record/%E0%A4%A',
  ])('find no place at %j', (hash) => {
    expect(placeAt(hash)).toBeNull();
  });

  it('leave out a heading that no entry has', () => {
    expect(placeAt('#/entry/e1/at/colophon')).toEqual({ at: 'entry', entryId: 'e1', section: null });
  });
});
