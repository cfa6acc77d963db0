import { sections, type Section } from '../../core/record/content.ts';
import type { Place } from './places.ts';

const part = encodeURIComponent;

/** The address of a place, from the `#` on. */
export function addressOf(place: Place): string {
  switch (place.at) {
    case 'record':
      return `#/record/${part(place.recordId)}`;
    case 'new-entry':
      return `#/record/${part(place.recordId)}/new`;
    case 'entry':
      return `#/entry/${part(place.entryId)}${place.section === null ? '' : `/at/${place.section}`}`;
    case 'bench':
      return `#/entry/${part(place.entryId)}/bench`;
    case 'deposit-entry':
      return `#/deposits/${part(place.entryId)}`;
    case 'version':
      return `#/entry/${part(place.entryId)}/version/${place.n}`;
    case 'versions': {
      const chosen = place.from === null ? '' : `/${place.from}/${place.to ?? 'draft'}`;
      return `#/entry/${part(place.entryId)}/versions${chosen}`;
    }
    case 'library':
      return place.compoundId === null ? '#/library' : `#/library/${part(place.compoundId)}`;
    case 'trail':
      return place.entryId === null ? '#/trail' : `#/trail/${part(place.entryId)}`;
    case 'shelf':
    case 'tray':
    case 'take-in':
    case 'deposits':
    case 'check':
    case 'people':
      return `#/${place.at}`;
  }
}

const isSection = (text: string | undefined): text is Section => sections.some((section) => section === text);

function versionNumber(text: string | undefined): number | null {
  return text !== undefined && /^[1-9]\d{0,5}$/.test(text) ? Number(text) : null;
}

function entryPlace(entryId: string, rest: readonly string[]): Place | null {
  const [view, first, second] = rest;
  if (view === undefined) return { at: 'entry', entryId, section: null };
  if (view === 'at') return { at: 'entry', entryId, section: isSection(first) ? first : null };
  if (view === 'bench') return { at: 'bench', entryId };
  if (view === 'version') {
    const n = versionNumber(first);
    return n === null ? null : { at: 'version', entryId, n };
  }
  if (view === 'versions') {
    return { at: 'versions', entryId, from: versionNumber(first), to: versionNumber(second) };
  }
  return null;
}

function decoded(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return '';
  }
}

/** The place an address names, or null for one that names none (someone typed it, or it is empty). */
export function placeAt(hash: string): Place | null {
  const [head = '', ...rest] = hash
    .replace(/^#?\/?/, '')
    .split('/')
    .map(decoded);
  const [id, ...after] = rest;
  switch (head) {
    case 'shelf':
    case 'tray':
    case 'take-in':
    case 'check':
    case 'people':
      return { at: head };
    case 'deposits':
      return id === undefined || id === '' ? { at: 'deposits' } : { at: 'deposit-entry', entryId: id };
    case 'library':
      return { at: 'library', compoundId: id === undefined || id === '' ? null : id };
    case 'trail':
      return { at: 'trail', entryId: id === undefined || id === '' ? null : id };
    case 'record':
      if (id === undefined || id === '') return null;
      return after[0] === 'new' ? { at: 'new-entry', recordId: id } : { at: 'record', recordId: id };
    case 'entry':
      return id === undefined || id === '' ? null : entryPlace(id, after);
    default:
      return null;
  }
}
