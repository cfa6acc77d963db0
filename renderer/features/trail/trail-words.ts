import { trailActions, type TrailAction } from '../../../core/record/trail.ts';

const groupWords: Readonly<Record<string, string>> = {
  entry: 'Entries and signatures',
  draft: 'Entries and signatures',
  signing: 'Entries and signatures',
  comment: 'Entries and signatures',
  attachment: 'Entries and signatures',
  record: 'Records',
  session: 'Signing in and out',
  person: 'People and keys',
  key: 'People and keys',
  notebook: 'The notebook',
  file: 'The notebook',
};

/** An action without the places its sentence leaves for names: "countersigned an entry; it is locked". */
const plain = (template: string): string =>
  template.replace(/\s*\{(\w+)\}/g, (_, key: string) => (key === 'entry' ? ' an entry' : ''));

/** The actions one can filter by, grouped, for the list above the trail. */
export const actionGroups: readonly {
  readonly title: string;
  readonly actions: readonly { readonly id: string; readonly label: string }[];
}[] = [
  ...Map.groupBy(
    Object.keys(trailActions) as TrailAction[],
    (action) => groupWords[action.split('.')[0] ?? ''] ?? 'Other',
  ),
].map(([title, actions]) => ({
  title,
  actions: actions.map((id) => ({ id, label: plain(trailActions[id]) })),
}));
