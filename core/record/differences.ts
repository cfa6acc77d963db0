import { leaves } from './content-text.ts';
import type { Difference } from '../contract/views.ts';
import type { EntryContent } from './content.ts';
import { contentItems, type Field, type Item } from './content-items.ts';
import type { FieldChange } from './objects.ts';

const named = (label: string, what: string): string => (what === '' ? label : `${label}: ${what}`);
const pathOf = (item: Item, key: string): string => (item.path === '' ? key : `${item.path}.${key}`);

/** An item that is only on one side, told in one line. */
const summary = (item: Item): string =>
  item.fields
    .filter((one) => one.text !== '')
    .map((one) => [one.label, one.shown ?? one.text].filter((part) => part !== '').join(' '))
    .join('; ');

const fieldsByKey = (item: Item | undefined): ReadonlyMap<string, Field> =>
  new Map((item?.fields ?? []).map((one) => [one.key, one]));

function fieldDifferences(before: Item | undefined, after: Item | undefined): readonly Difference[] {
  const item = after ?? before;
  if (item === undefined) return [];
  const old = fieldsByKey(before);
  const now = fieldsByKey(after);
  const differences: Difference[] = [];
  for (const key of new Set([...old.keys(), ...now.keys()])) {
    const oldText = old.get(key)?.text ?? '';
    const newText = now.get(key)?.text ?? '';
    if (isSame(key, oldText, newText)) continue;
    const what = (now.get(key) ?? old.get(key))?.label ?? '';
    const oldShown = old.get(key)?.shown ?? oldText;
    const newShown = now.get(key)?.shown ?? newText;
    // An empty box and no box say the same.
    if (oldShown === '' && newShown === '') continue;
    // Words that do not show the difference give way to the values themselves.
    const [oldSaid, newSaid] =
      oldShown === newShown ? inWords(oldText, newText) : ([oldShown, newShown] as const);
    differences.push({
      section: item.section,
      label: named(item.label, what),
      path: pathOf(item, key),
      old: oldSaid,
      new: newSaid,
    });
  }
  return differences;
}

/** Two values as `kind solution, strength entered unit mol/L`; as they are compared where that hides it. */
function inWords(old: string, now: string): readonly [string, string] {
  const said = [old, now].map((text) => (text.startsWith('{') ? leaves(JSON.parse(text)) : text));
  const [before = old, after = now] = said;
  return before === after ? [old, now] : [before, after];
}

/**
 * Order of list members matters only among those both sides have: one that was added or removed is
 * reported as that.
 */
function isSame(key: string, old: string, now: string): boolean {
  if (old === now || !key.endsWith('.order')) return old === now;
  const before = old.split(' ');
  const after = now.split(' ');
  const kept = (ids: readonly string[], others: readonly string[]): string =>
    ids.filter((id) => others.includes(id)).join(' ');
  return kept(before, after) === kept(after, before);
}

/**
 * What differs between two states of an entry, field by field, in the order the entry prints. List
 * members are matched by id, so a row that moved is not a row that changed.
 */
export function differencesBetween(old: EntryContent, now: EntryContent): readonly Difference[] {
  const before = contentItems(old);
  const after = contentItems(now);
  const key = (item: Item): string => (item.path === '' ? `${item.section}/${item.label}` : item.path);
  const beforeByKey = new Map(before.map((item) => [key(item), item]));
  const afterByKey = new Map(after.map((item) => [key(item), item]));
  const differences: Difference[] = [];
  for (const item of mergedOrder(before, after, key)) {
    const was = beforeByKey.get(item);
    const is = afterByKey.get(item);
    const present = is ?? was;
    if (present === undefined) continue;
    if ((was === undefined || is === undefined) && !present.isFixed) {
      differences.push({
        section: present.section,
        label: named(present.label, is === undefined ? 'removed' : 'added'),
        path: present.path,
        old: was === undefined ? '' : summary(was),
        new: is === undefined ? '' : summary(is),
      });
    } else {
      differences.push(...fieldDifferences(was, is));
    }
  }
  return differences;
}

/** Keys of both sides: the new order, with what was removed where it used to follow. */
function mergedOrder(
  before: readonly Item[],
  after: readonly Item[],
  key: (item: Item) => string,
): readonly string[] {
  const order = after.map(key);
  const known = new Set(order);
  let previous: string | null = null;
  for (const item of before) {
    const id = key(item);
    if (!known.has(id)) {
      order.splice(previous === null ? 0 : order.indexOf(previous) + 1, 0, id);
      known.add(id);
    }
    previous = id;
  }
  return order;
}

/** A change longer than this is cut down to the passage that changed. */
const longestTrailText = 240;
const contextLength = 30;

/**
 * The changes as an event keeps them: named in words, long texts cut to the passage that changed with
 * a little of what stands around it. The full texts are in the versions.
 */
export const changesForTrail = (differences: readonly Difference[]): readonly FieldChange[] =>
  differences.map((difference) => ({
    path: difference.label,
    ...changedPassage(difference.old, difference.new),
  }));

/** Old and new text without the beginning and the end they share, where they are long. */
export function changedPassage(old: string, now: string): { readonly old: string; readonly new: string } {
  if (old.length <= longestTrailText && now.length <= longestTrailText) return { old, new: now };
  const a = [...old];
  const b = [...now];
  const shorter = Math.min(a.length, b.length);
  let start = 0;
  while (start < shorter && a[start] === b[start]) start += 1;
  let end = 0;
  while (end < shorter - start && a[a.length - 1 - end] === b[b.length - 1 - end]) end += 1;
  const from = Math.max(0, start - contextLength);
  const cut = (letters: readonly string[]): string => {
    const to = Math.min(letters.length, letters.length - end + contextLength);
    return `${from > 0 ? '…' : ''}${letters.slice(from, to).join('')}${to < letters.length ? '…' : ''}`;
  };
  return { old: cut(a), new: cut(b) };
}
