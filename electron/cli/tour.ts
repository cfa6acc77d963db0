import { copyFileSync, existsSync, mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import Database from 'better-sqlite3';
import { rmSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { checkFile } from '../check/check-file.ts';
import { UsageError, type Command } from './command.ts';
import { takeTour } from './tour-steps.ts';
import { reportText } from './check.ts';

const databaseName = 'tour.fairleaf';

export const tour: Command = {
  usage: 'tour DIR',
  summary: 'takes a preparation from plan to countersigned entry and PDF, in an empty folder',
  async run(args) {
    const { positionals } = parseArgs({ args: [...args], allowPositionals: true });
    const [named] = positionals;
    if (named === undefined || positionals.length > 1) throw new UsageError('Name one empty folder.');
    const folder = resolve(named);
    if (existsSync(folder) && readdirSync(folder).length > 0) {
      throw new UsageError(
        `${named} is not empty. The tour writes a notebook and a PDF, and overwrites nothing: name an empty or a new folder.`,
      );
    }
    mkdirSync(folder, { recursive: true });
    const path = join(folder, databaseName);
    const { pdf } = await takeTour(path, (line) => console.log(line));
    const pdfPath = join(folder, pdf.name);
    writeFileSync(pdfPath, pdf.bytes);
    console.log(`  wrote ${pdf.name}, ${Math.round(pdf.bytes.length / 1000)} kB`);

    console.log('\n9  Anyone can check it');
    for (const file of [databaseName, pdf.name]) {
      const report = await checkFile(join(folder, file));
      if (!report.ok || !report.value.isSound) {
        console.error(report.ok ? reportText(file, report.value).join('\n') : report.error.code);
        return 1;
      }
      console.log(`  ${reportText(file, report.value)[0] ?? ''}`);
    }
    const found = await checkTampered(folder, path);
    console.log(
      `  a copy with one byte of the locked version changed behind the program’s back:\n  ${found}`,
    );
    console.log(`\nLeft in the folder: ${databaseName} and ${pdf.name}.`);
    console.log(`See it: npm start -- --file ${JSON.stringify(path)}`);
    return 0;
  },
};

/** Changes one byte of a copy, as somebody with the file and some SQL could, and says what the check finds. */
async function checkTampered(folder: string, path: string): Promise<string> {
  const copy = join(folder, 'tampered-copy');
  copyFileSync(path, copy);
  try {
    const database = new Database(copy);
    database.exec('drop trigger version_is_final');
    database.exec(`update version set bytes = replace(bytes, '"2.18"', '"2.98"')
      where n = (select max(n) from version)`);
    database.close();
    const report = await checkFile(copy);
    if (!report.ok) return report.error.code;
    const first = report.value.findings.find((finding) => finding.severity === 'broken');
    return first === undefined ? 'nothing found' : `✗ ${first.place}: ${first.sentence}`;
  } finally {
    for (const end of ['', '-wal', '-shm']) rmSync(`${copy}${end}`, { force: true });
  }
}
