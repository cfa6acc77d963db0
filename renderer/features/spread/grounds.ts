import type { Working } from '../../../core/workings/working.ts';

/** The given workings with all they rest on before them, each once. */
export function withGrounds(
  targets: readonly (Working | null)[],
  all: readonly Working[],
): readonly Working[] {
  const byId = new Map(all.map((working) => [working.id, working]));
  const ordered = new Map<string, Working>();
  const add = (working: Working | null | undefined): void => {
    if (working == null || ordered.has(working.id)) return;
    for (const term of working.terms) {
      if (term.source.kind === 'working') add(byId.get(term.source.id));
    }
    ordered.set(working.id, working);
  };
  for (const target of targets) add(target);
  return [...ordered.values()];
}
