import { ghsPictograms, ghsSource, statementText } from '../../compounds/ghs.ts';
import type { GhsPictogram } from '../../compounds/ghs.ts';
import type { HazardNote } from '../../record/content.ts';
import type { Block, Line } from '../report-document.ts';
import { attachmentBlocks, commentBlocks, textBlocks } from '../report-context.ts';
import type { ReportContext } from '../report-context.ts';
import { plain, quiet } from '../runs.ts';

/** Printed in every entry, whatever it lists: the program informs and reminds, others decide. */
export const deferral =
  'These notes inform and remind. They do not make anything safe and do not replace the supplier’s safety data sheet, the institution’s risk assessment, the local rules or the person in charge of the laboratory, whose word decides. A substance that is not listed, or listed without a statement, is not thereby harmless.';

const signs = (hazard: HazardNote): Line =>
  quiet(
    hazard.pictograms
      .map((code) =>
        Object.hasOwn(ghsPictograms, code) ? `${ghsPictograms[code as GhsPictogram]} (${code})` : code,
      )
      .join(', '),
  );

function statement(code: string): Line {
  const text = statementText(code);
  return [
    { text: `${code}  `, weight: 'bold' },
    { text: text ?? 'see the safety data sheet for this statement' },
  ];
}

/** Without its full stop: it stands in a list. */
const sourceOf = (hazard: HazardNote): string => hazard.source.trim().replace(/[.;\s]+$/, '');

/** Sources once each, numbered, so that the table stays readable. */
function numbered(hazards: readonly HazardNote[]): {
  readonly sources: readonly string[];
  readonly of: (hazard: HazardNote) => string;
} {
  const sources = [...new Set(hazards.map(sourceOf).filter((source) => source !== ''))];
  return { sources, of: (hazard) => String(sources.indexOf(sourceOf(hazard)) + 1) };
}

export function hazards(context: ReportContext): Block[] {
  const { content } = context;
  const { sources, of } = numbered(content.hazards);
  const table: Block = {
    kind: 'table',
    density: 'normal',
    columns: [
      { head: plain('Substance'), align: 'left', share: 118 },
      { head: plain('Signal word, pictograms'), align: 'left', share: 116 },
      { head: plain('Hazard statements'), align: 'left', share: 231 },
    ],
    rows: content.hazards.map((hazard) => [
      [
        hazard.source.trim() === '' || sources.length < 2
          ? plain(hazard.substance)
          : [{ text: hazard.substance }, { text: ` ${of(hazard)}`, script: 'super', tone: 'quiet' }],
      ],
      [
        plain(
          hazard.signalWord === '' ? 'no signal word' : hazard.signalWord,
          hazard.signalWord === '' ? { tone: 'quiet' } : { weight: 'bold' },
        ),
        signs(hazard),
      ].filter((line) => line.length > 0),
      hazard.statements.length === 0
        ? [quiet('none listed; see the safety data sheet')]
        : hazard.statements.map(statement),
    ]),
    caption: null,
  };
  const numberedSources = sources.flatMap((source, index): Line => [
    ...(sources.length === 1 ? [] : [{ text: ` ${index + 1}\u2009`, weight: 'bold' as const }]),
    { text: `${source}${index + 1 < sources.length ? ';' : '.'}` },
  ]);
  const print: Block = {
    kind: 'small-print',
    line: [
      { text: `Texts of the statements: ${ghsSource}.` },
      ...(sources.length === 0 ? [] : [{ text: ' Classification:' }, ...numberedSources]),
    ],
  };
  return [
    ...(content.hazards.length === 0 ? [] : [table, print]),
    ...textBlocks(content.precautions, context.inkOf('precautions'), context),
    { kind: 'notice', title: 'What decides', line: plain(deferral) },
    ...attachmentBlocks('hazards', context),
    ...commentBlocks('hazards', context),
  ];
}
