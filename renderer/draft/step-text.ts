import type { ReagentRow } from '../../core/reaction/table-types.ts';

const fields = ['mass', 'volume', 'amount', 'name'] as const;
export type StepField = (typeof fields)[number];

/**
 * Step text as a person edits it: `{mass:row-1}` reads `[mass of salicylic acid]`. A row without a
 * name of its own keeps the stored form.
 */
export function toReadable(text: string, rows: readonly ReagentRow[]): string {
  return text.replaceAll(/\{(mass|volume|amount|name):([^}]+)\}/gu, (whole, field: string, id: string) => {
    const row = rows.find((candidate) => candidate.id === id);
    return row === undefined || !isNamedAlone(row, rows) ? whole : `[${field} of ${row.name}]`;
  });
}

/** The reverse of `toReadable`: brackets that name no row of the table stay as typed. */
export function toStored(text: string, rows: readonly ReagentRow[]): string {
  return text.replaceAll(
    /\[(mass|volume|amount|name) of ([^\]]+)\]/gu,
    (whole, field: string, name: string) => {
      const row = rows.find((candidate) => candidate.name.toLowerCase() === name.trim().toLowerCase());
      return row === undefined || !isNamedAlone(row, rows) ? whole : `{${field}:${row.id}}`;
    },
  );
}

/** What can be put into a step, for a menu: the stored form and how it reads. */
export function insertable(
  rows: readonly ReagentRow[],
): readonly { readonly label: string; readonly text: string }[] {
  return rows
    .filter((row) => isNamedAlone(row, rows))
    .flatMap((row) =>
      fields.map((field) => ({ label: `${field} of ${row.name}`, text: `[${field} of ${row.name}]` })),
    );
}

function isNamedAlone(row: ReagentRow, rows: readonly ReagentRow[]): boolean {
  const name = row.name.toLowerCase();
  return (
    name !== '' &&
    !/[\][{}]/u.test(name) &&
    rows.filter((other) => other.name.toLowerCase() === name).length === 1
  );
}
