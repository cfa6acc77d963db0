import type { NewPerson } from '../begin-notebook.ts';

/** Shown beside every name of the demo: it is there to be looked around in. */
export const demoPassphrase = 'look around freely';

export const demoInstitution = 'Wexcombe College';
export const demoDepartment = 'Department of Chemistry';

/** Invented, every one. */
export const demoPeople = [
  { key: 'ada', printedName: 'Ottilie Marchbanks', initials: 'OM', role: 'student' },
  { key: 'ben', printedName: 'Tobias Fenn', initials: 'TF', role: 'student' },
  { key: 'teacher', printedName: 'Dr Henrike Aldous', initials: 'HA', role: 'instructor' },
  { key: 'office', printedName: 'Laboratory Office', initials: 'LO', role: 'department' },
] as const satisfies readonly (Omit<NewPerson, 'passphrase'> & { readonly key: string })[];
