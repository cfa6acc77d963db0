import { basename } from 'node:path';
import { parseArgs } from 'node:util';
import type { CheckReport } from '../../core/contract/views.ts';
import { problemSentence } from '../../core/wording/index.ts';
import { storageSentence, storageWords } from '../../core/wording/services.ts';
import { checkFile } from '../check/check-file.ts';
import { UsageError, type Command } from './command.ts';

export const check: Command = {
  usage: 'check FILE… [--department-key KEY]',
  summary: 'checks notebooks, bound PDFs, hand-ins, deposits; names the first place that fails',
  async run(args) {
    const { values, positionals } = parseArgs({
      args: [...args],
      options: { key: { type: 'string' }, 'department-key': { type: 'string' } },
      allowPositionals: true,
    });
    if (positionals.length === 0) throw new UsageError('Name the file to check.');
    let code = 0;
    for (const [index, path] of positionals.entries()) {
      const result = await checkFile(path, { pinnedKey: values['department-key'] ?? values.key ?? null });
      if (index > 0) console.log('');
      if (result.ok) {
        console.log(reportText(basename(path), result.value).join('\n'));
        if (!result.value.isSound) code = Math.max(code, 1);
      } else {
        const { code: reason, facts } = result.error;
        const words = storageWords(reason)
          ? storageSentence({ reason, facts })
          : problemSentence(result.error);
        console.error(`${basename(path)}: cannot be checked. ${words}`);
        code = 2;
      }
    }
    return code;
  },
};

/** A report as lines to read. */
export function reportText(name: string, report: CheckReport): readonly string[] {
  const broken = report.findings.filter((finding) => finding.severity === 'broken').length;
  const mark = { broken: '✗', doubtful: '?', note: '·' } as const;
  return [
    report.isSound
      ? `${name}: sound.`
      : `${name}: NOT SOUND, ${broken} ${broken === 1 ? 'place fails' : 'places fail'}.`,
    `  checked     ${report.checked.map((one) => `${one.count} ${one.what}`).join(', ')}`,
    `  department  key ${report.departmentFingerprint}`,
    `  trail       up to event ${report.headSeq}, ${report.head.slice(0, 16)}…`,
    ...report.findings.map((one) => `  ${mark[one.severity]} ${one.place}: ${one.sentence} (${one.code})`),
    `  ${report.trustworthy}`,
  ];
}
