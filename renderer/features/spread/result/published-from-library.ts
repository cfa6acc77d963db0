import { ownSourceText } from '../../../../core/compounds/index.ts';
import type { EntryContent, LiteratureValues } from '../../../../core/record/content.ts';
import { sourceText, type CompoundBook } from '../../../client/compound-book.svelte.ts';

/**
 * What the library publishes of the product: a published value is begun with it, where there is one, and
 * can be written over. Values that hold with a reservation keep it beside their source.
 */
export function publishedOf(content: EntryContent, book: CompoundBook): LiteratureValues {
  const row = content.rows.find(({ id }) => id === content.productRowId);
  const found = row?.compoundId == null ? null : book.byId(row.compoundId);
  if (found === null) return { meltingRange: null, boilingPoint: null, refractiveIndex: null };
  const { meltingPoint, boilingPoint, refractiveIndex } = found.compound;
  // What the department's own says may change later: the entry names the version it was taken from.
  const from = (source: string): string =>
    found.own === null ? source : `${ownSourceText(found.compound.name, found.own.n)}: ${source}`;
  const said = ({ source, note }: { readonly source: string; readonly note: string }): string =>
    [from(sourceText(source, found.own)), note].filter((part) => part !== '').join('; ');
  return {
    meltingRange:
      meltingPoint === null
        ? null
        : { from: meltingPoint.value, to: meltingPoint.to ?? null, source: said(meltingPoint) },
    boilingPoint:
      boilingPoint === null
        ? null
        : {
            value: boilingPoint.value,
            // Without a pressure the library means normal pressure.
            pressure: boilingPoint.pressure ?? { text: '101.325', unit: 'kPa' },
            source: said(boilingPoint),
          },
    refractiveIndex:
      refractiveIndex?.temperature == null
        ? null
        : {
            value: refractiveIndex.value,
            temperature: refractiveIndex.temperature,
            source: said(refractiveIndex),
          },
  };
}
