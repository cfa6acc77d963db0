import type { CheckFinding } from '../../contract/views.ts';
import { recordSentences } from '../../wording/record.ts';

type Facts = Readonly<Record<string, string | number>>;

/** After so many a list helps nobody; the count goes on. */
const mostListed = 200;

/** Collects what is wrong, in the order it is found, each in words. */
export class Findings {
  readonly list: CheckFinding[] = [];
  brokenCount = 0;
  doubtfulCount = 0;
  private unlisted = 0;

  add(severity: CheckFinding['severity'], code: string, place: string, facts: Facts = {}): void {
    if (severity === 'broken') this.brokenCount += 1;
    if (severity === 'doubtful') this.doubtfulCount += 1;
    if (this.list.length >= mostListed) {
      this.unlisted += 1;
      return;
    }
    const sentence = recordSentences[code]?.(facts);
    if (sentence === undefined) throw new Error(`no sentence for the finding ${code}`);
    this.list.push({ severity, code, place, sentence });
  }

  broken(code: string, place: string, facts: Facts = {}): void {
    this.add('broken', code, place, facts);
  }

  doubtful(code: string, place: string, facts: Facts = {}): void {
    this.add('doubtful', code, place, facts);
  }

  note(code: string, place: string, facts: Facts = {}): void {
    this.add('note', code, place, facts);
  }

  /** What was found, with a last line for what found no room. */
  all(): readonly CheckFinding[] {
    if (this.unlisted === 0) return this.list;
    const sentence = recordSentences['more-findings']?.({ count: this.unlisted }) ?? '';
    return [
      ...this.list,
      {
        severity: this.brokenCount > 0 ? 'broken' : 'note',
        code: 'more-findings',
        place: 'further on',
        sentence,
      },
    ];
  }
}
