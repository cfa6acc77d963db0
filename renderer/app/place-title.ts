import type { Place } from './places.ts';

/** Title of the window for a place; pages that know more (an entry's number) set their own heading. */
export function placeTitle(place: Place): string {
  switch (place.at) {
    case 'shelf':
      return 'Shelf';
    case 'record':
      return 'Index';
    case 'new-entry':
      return 'New entry';
    case 'entry':
      return 'Entry';
    case 'bench':
      return 'Bench';
    case 'version':
      return `Version ${place.n}`;
    case 'versions':
      return 'Versions';
    case 'tray':
      return 'Tray';
    case 'take-in':
      return 'Take in a file';
    case 'deposits':
      return 'Deposits';
    case 'deposit-entry':
      return 'Entry of a deposit';
    case 'library':
      return 'Library';
    case 'trail':
      return 'Audit trail';
    case 'check':
      return 'Check';
    case 'people':
      return 'People';
  }
}
