import { compounds, findCompounds } from '../../core/compounds/index.ts';

/** Middle and slowest five in a hundred of single searches, ms. */
function quantiles(queries: readonly string[], rounds: number): { median: number; p95: number } {
  for (const query of queries) void findCompounds(query, 8);
  const times: number[] = [];
  for (let round = 0; round < rounds; round += 1) {
    for (const query of queries) {
      const start = performance.now();
      void findCompounds(query, 8);
      times.push(performance.now() - start);
    }
  }
  times.sort((a, b) => a - b);
  const at = (share: number): number =>
    times[Math.min(times.length - 1, Math.floor(share * times.length))] ?? 0;
  return { median: at(0.5), p95: at(0.95) };
}

/** One slip in a name: two letters changed places, or one was left out. */
const misspelt = (name: string, index: number): string => {
  const at = 1 + (index % Math.max(1, name.length - 3));
  return index % 2 === 0
    ? name.slice(0, at) + name.slice(at + 1)
    : name.slice(0, at) + (name[at + 1] ?? '') + (name[at] ?? '') + name.slice(at + 2);
};
/** What stands in the box while a name is typed, letter by letter. */
const typing = (name: string): readonly string[] =>
  Array.from({ length: name.length - 1 }, (_, index) => name.slice(0, index + 2));

/** How long one search of the compounds library takes, by what is asked for. */
export default async function libraryBench() {
  const names = compounds.map(({ name }) => name);
  const sorts = [
    ['by name', quantiles(names, 3)],
    ['by a misspelt name', quantiles(names.map(misspelt), 3)],
    ['letter by letter', quantiles(names.slice(0, 60).flatMap(typing), 3)],
    [
      'by formula',
      quantiles(
        compounds.map(({ formula }) => formula),
        3,
      ),
    ],
  ] as const;
  return await Promise.resolve({
    name: `library search, ${compounds.length} compounds`,
    rows: sorts.flatMap(([label, { median, p95 }]) => [
      { label: `${label}, median`, value: median, unit: 'ms' },
      { label: `${label}, p95`, value: p95, unit: 'ms' },
    ]),
  });
}
