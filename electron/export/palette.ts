import type { Ink } from '../../core/report/report-document.ts';

/** The inks on white paper. Each keeps at least 4.5 : 1 against white, quiet text included. */
export const inks: Readonly<Record<Ink, string>> = {
  print: '#23262e',
  student: '#1b2f5b',
  instructor: '#1d6b45',
  department: '#5a3a8e',
};
export const quiet = '#66645e';
export const fineRule = '#cfc8b8';
export const strongRule = '#5c5a55';
/** The madder margin line at 45 % strength, mixed with the white of the paper. */
export const marginRule = '#e7c7c3';
/** Tint of the fold, and of a fold field whose two sides differ. */
export const foldTint = '#f5f2ea';
export const differenceTint = '#f7e4e0';
export const windowTint = '#e3ede6';

/** A4 in points, with a binding margin that also carries section numbers and initials. */
export const page = {
  width: 595.28,
  height: 841.89,
  left: 84,
  right: 46,
  top: 62,
  bottom: 58,
  /** x of the madder line. */
  rule: 73,
} as const;
export const bodyWidth = page.width - page.left - page.right;
export const bodyHeight = page.height - page.top - page.bottom;
