import { readdirSync } from 'node:fs';

/**
 * `npm run bench [NAME…]`: runs every measurement of this folder, or those named, one after the other, and
 * prints what they found. Each file's default export measures and gives its rows; medians are its business.
 */
export interface BenchRow {
  readonly label: string;
  readonly value: number;
  readonly unit: string;
}
export interface BenchResult {
  readonly name: string;
  readonly rows: readonly BenchRow[];
}

const shown = (value: number): string =>
  Number.isFinite(value)
    ? value >= 100
      ? Math.round(value).toLocaleString('en-GB')
      : value.toPrecision(3)
    : String(value);

const wanted = process.argv.slice(2);
const files = readdirSync(import.meta.dirname)
  .filter((file) => file.endsWith('.ts') && file !== 'bench.ts')
  .filter((file) => wanted.length === 0 || wanted.includes(file.replace('.ts', '')))
  .sort();
if (files.length === 0) {
  console.error(`There is no measurement called ${wanted.join(', ')}.`);
  process.exit(2);
}
for (const file of files) {
  const { default: measure } = (await import(new URL(file, import.meta.url).href)) as {
    readonly default: () => Promise<BenchResult>;
  };
  const { name, rows } = await measure();
  console.log(`\n${name}`);
  const width = Math.max(...rows.map((row) => row.label.length));
  for (const { label, value, unit } of rows) {
    console.log(`  ${label.padEnd(width)}  ${shown(value).padStart(8)} ${unit}`);
  }
}
