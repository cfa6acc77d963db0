/** The headings of an entry as the head strip lists them, and where each is on the page. */
export const headLinks = [
  { id: 'section-aim', label: 'Aim' },
  { id: 'section-principle', label: 'Principle' },
  { id: 'section-requirements', label: 'Requirements' },
  { id: 'section-hazards', label: 'Hazards' },
  { id: 'section-reagents', label: 'Reagents' },
  { id: 'section-procedure', label: 'Procedure' },
  { id: 'section-result', label: 'Result' },
  { id: 'section-calculation', label: 'Calculation' },
  { id: 'section-discussion', label: 'Discussion' },
] as const;
