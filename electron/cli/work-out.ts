import { readFile, stat } from 'node:fs/promises';
import { toJsonSchema } from '@valibot/to-json-schema';
import * as v from 'valibot';
import { calculations } from '../../core/calculations/index.ts';
import { sheetSchema } from '../../core/contract/sheet.ts';
import type { Sheet } from '../../core/contract/sheet.ts';
import { compositionOfSmiles } from '../../core/formula/structure-composition.ts';
import type { Structures } from '../../core/work-out/read-sheet.ts';
import { textTable } from '../../core/work-out/text-table.ts';
import { workOutSheet } from '../../core/work-out/work-out.ts';
import type { Command } from './command.ts';

/** Where a command writes; replaced in tests. */
export interface Output {
  readonly print: (text: string) => void;
  readonly complain: (text: string) => void;
}

const usage = `usage: fairleaf work-out FILE.json [--table]   works out a reaction sheet
       fairleaf work-out --schema                prints the JSON Schema of a sheet
       fairleaf work-out --list                  names the calculations and their fields`;

const largestSheetBytes = 5_000_000;

/** JSON Schema (draft 2020-12) of a reaction sheet. */
export const sheetJsonSchema = (): unknown => ({
  ...toJsonSchema(sheetSchema, { target: 'draft-2020-12', errorMode: 'ignore' }),
  title: 'Fairleaf reaction sheet',
});

function listed(): string {
  return calculations
    .map(({ id, title, purpose, fields }) => {
      const lines = fields.map((field) => {
        switch (field.kind) {
          case 'quantity':
            return `    ${field.key}: ${field.label} (${field.unit}${field.isOptional ? ', may be left out' : ''})`;
          case 'choice':
            return `    ${field.key}: ${field.options.map((option) => option.key).join(' | ')}`;
          case 'formula':
            return `    ${field.key}: ${field.label} (a formula)`;
          case 'series':
            return `    ${field.key}: lines of ${field.columns.map((one) => `${one.key} (${one.unit})`).join(', ')}`;
        }
      });
      return [`${id}: ${title}`, `  ${purpose}`, ...lines].join('\n');
    })
    .join('\n\n');
}

/**
 * `fairleaf work-out`: a reaction sheet in, the worked table out, as JSON or as text.
 *
 * @returns exit code: 0 worked out (problems, if any, are in the output), 1 the sheet cannot be read, 2 wrong call
 */
export async function workOut(args: readonly string[], output: Output): Promise<number> {
  const flags = new Set(args.filter((arg) => arg.startsWith('--')));
  const files = args.filter((arg) => !arg.startsWith('--'));
  if (flags.has('--schema')) {
    output.print(JSON.stringify(sheetJsonSchema(), null, 2));
    return 0;
  }
  if (flags.has('--list')) {
    output.print(listed());
    return 0;
  }
  const [file] = files;
  if (file === undefined || files.length > 1 || [...flags].some((flag) => flag !== '--table')) {
    output.complain(usage);
    return 2;
  }
  const raw = await readSheetFile(file);
  if ('fault' in raw) {
    output.complain(raw.fault);
    return 1;
  }
  const parsed = v.safeParse(sheetSchema, raw.value);
  if (!parsed.success) {
    for (const issue of parsed.issues.slice(0, 20)) {
      output.complain(`${file}: ${v.getDotPath(issue) ?? 'the sheet'}: ${issue.message}`);
    }
    output.complain('The JSON Schema of a sheet is printed by: fairleaf work-out --schema');
    return 1;
  }
  const worked = workOutSheet(parsed.output, await readStructures(parsed.output));
  output.print(flags.has('--table') ? textTable(worked) : JSON.stringify(worked, null, 2));
  return 0;
}

/** The library is large: it is loaded for a sheet that has a structure, and for no other. */
async function readStructures(sheet: Sheet): Promise<Structures> {
  const rows = (sheet.rows ?? []).filter(({ smiles }) => smiles !== undefined && smiles.trim() !== '');
  if (rows.length === 0) return new Map();
  const { Molecule } = await import('openchemlib');
  return new Map(
    rows.map(({ id, smiles = '' }) => [id, compositionOfSmiles(smiles, (text) => Molecule.fromSmiles(text))]),
  );
}

async function readSheetFile(
  file: string,
): Promise<{ readonly value: unknown } | { readonly fault: string }> {
  try {
    const stats = await stat(file);
    // Reading a pipe would wait for somebody to write into it.
    if (!stats.isFile()) return { fault: `${file}: is not a file.` };
    if (stats.size > largestSheetBytes)
      return { fault: `${file}: larger than 5 MB; a reaction sheet is a few kilobytes.` };
    return { value: JSON.parse(await readFile(file, 'utf8')) as unknown };
  } catch (error) {
    if (error instanceof SyntaxError) return { fault: `${file}: not JSON: ${error.message}` };
    const code = (error as NodeJS.ErrnoException).code;
    if (code === 'ENOENT') return { fault: `${file}: there is no such file.` };
    return { fault: `${file}: cannot be read (${code ?? 'unknown reason'}).` };
  }
}

export const workOutCommand: Command = {
  usage: 'work-out FILE.json [--table] | --schema | --list',
  summary: 'works out a reaction sheet: JSON, or a table to read; prints the sheet’s JSON Schema',
  run: (args) =>
    workOut(args, { print: (text) => console.log(text), complain: (text) => console.error(text) }),
};
