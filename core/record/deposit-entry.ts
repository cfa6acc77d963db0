/**
 * Ids of entries that are shown from an opened deposit: `deposit:<deposit>:<record>:<entry>`. They are
 * no entries of the notebook, and nothing is done to them.
 */
const prefix = 'deposit:';

export const depositEntryId = (deposit: string, record: number, entry: string): string =>
  `${prefix}${deposit}:${record}:${entry}`;

export const isDepositEntry = (entryId: string): boolean => entryId.startsWith(prefix);
