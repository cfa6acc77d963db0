import type { NewPerson } from '../begin-notebook.ts';

/** Shown beside every name of the demo: it is there to be looked around in. */
export const demoPassphrase = 'leaf by leaf by leaf';

export const demoInstitution = 'Wexcombe College';
export const demoDepartment = 'Department of Chemistry';
export const demoCourse = 'Preparative chemistry II';

export type DemoPerson = 'ottilie' | 'tobias' | 'imke' | 'aldous' | 'office';

/** Invented, every one. */
export const demoPeople: Readonly<Record<DemoPerson, Omit<NewPerson, 'passphrase'>>> = {
  ottilie: { printedName: 'Ottilie Marchbanks', initials: 'OM', role: 'student' },
  tobias: { printedName: 'Tobias Fenn', initials: 'TF', role: 'student' },
  imke: { printedName: 'Imke Sallow', initials: 'IS', role: 'student' },
  aldous: { printedName: 'Dr Henrike Aldous', initials: 'HA', role: 'instructor' },
  office: { printedName: 'Laboratory Office', initials: 'LO', role: 'department' },
};
