import type { InputOf, RequestName } from '../../../core/contract/request-map.ts';
import type { KeyView, PersonView } from '../../../core/contract/views.ts';
import type { Answer, Client } from '../../client/client.ts';

/** What the person at the keyboard filled in. */
export interface Given {
  readonly reason: string;
  /** UTC ISO 8601, or null where it was not asked for. */
  readonly since: string | null;
  readonly passphrase: string;
  readonly departmentPassphrase: string;
}

/** A step in the life of a key or a seal: what is said and asked before it is taken. */
export interface KeyStep {
  readonly title: string;
  readonly lead: string;
  /** What happens, in whole sentences. */
  readonly says: readonly string[];
  /** Label and hint of the reason; null where none is asked for. */
  readonly reason: { readonly label: string; readonly hint: string } | null;
  readonly asksSince: boolean;
  /** A new passphrase is chosen, by whom. */
  readonly passphrase: { readonly label: string; readonly hint: string; readonly of: string } | null;
  readonly departmentLabel: string;
  readonly confirm: string;
  readonly isGrave: boolean;
  /** Told when it is done. */
  readonly done: string;
  readonly run: (client: Client, given: Given) => Promise<Answer<RequestName>>;
}

const department = 'The department’s passphrase';
const plainly = {
  reason: null,
  asksSince: false,
  passphrase: null,
  departmentLabel: department,
  isGrave: false,
};
const asked = <K extends RequestName>(
  client: Client,
  name: K,
  input: InputOf<K>,
): Promise<Answer<RequestName>> => client.ask(name, input);

/** A forgotten passphrase, or somebody who comes back. */
export const newKey = (person: PersonView, hasKey: boolean): KeyStep => ({
  ...plainly,
  title: hasKey ? 'A new key' : 'Open the account again',
  lead: person.printedName,
  says: hasKey
    ? [
        'Make sure of who it is, in person. The key until now is retired: everything it signed stays good and says so; it signs nothing more.',
        'A passphrase cannot be found again by anybody. The new one is chosen and typed by its owner.',
      ]
    : ['Make sure of who it is, in person. The new passphrase is chosen and typed by its owner.'],
  reason: {
    label: 'Reason',
    hint: hasKey
      ? 'It stands in the audit trail and beside the retired key: “forgot the passphrase”.'
      : 'It stands in the audit trail: “came back for the second year”.',
  },
  passphrase: {
    label: `New passphrase of ${person.printedName}`,
    hint: 'Ten characters or more. Four or five unrelated words make a good one.',
    of: person.printedName,
  },
  confirm: 'Certify the new key',
  done: `${person.printedName} signs with a new key now.`,
  run: (client, given) =>
    asked(client, 'key.replace', {
      personId: person.id,
      passphrase: given.passphrase,
      reason: given.reason,
      departmentPassphrase: given.departmentPassphrase,
    }),
});

export const closeAccount = (person: PersonView, key: KeyView): KeyStep => ({
  ...plainly,
  title: 'Close the account',
  lead: person.printedName,
  says: [
    'For somebody who leaves. Their key is retired: they cannot sign in or sign any more. Their records stay as they are, and what they signed stays good.',
    'What is still a draft stays a draft. A new key opens the account again.',
  ],
  reason: { label: 'Reason', hint: 'It stands in the audit trail: “finished the course”.' },
  confirm: 'Retire the key',
  isGrave: true,
  done: `The account of ${person.printedName} is closed.`,
  run: (client, given) =>
    asked(client, 'key.retire', {
      key: key.key,
      kind: 'retired',
      since: null,
      reason: given.reason,
      departmentPassphrase: given.departmentPassphrase,
    }),
});

export const wrongHands = (person: PersonView, key: KeyView): KeyStep => ({
  ...plainly,
  title: 'Key in wrong hands',
  lead: person.printedName,
  says: [
    'Somebody else may have had key and passphrase. The key is withdrawn at once. Signatures that nobody outside this notebook is known to have seen before the time below are called doubtful from now on; the others stay good.',
    'It cannot be taken back. When it is only lost or forgotten, choose a new key instead.',
  ],
  reason: { label: 'What happened', hint: 'It stands in the audit trail and in every check.' },
  asksSince: true,
  confirm: 'Declare and withdraw',
  isGrave: true,
  done: `The key of ${person.printedName} is withdrawn.`,
  run: (client, given) =>
    asked(client, 'key.retire', {
      key: key.key,
      kind: 'compromised',
      since: given.since,
      reason: given.reason,
      departmentPassphrase: given.departmentPassphrase,
    }),
});

/** @param of whose key, as the title says it */
export const renewal = (of: string, key: KeyView): KeyStep => ({
  ...plainly,
  title: 'Renew the certificate',
  lead: of,
  says: ['The same key, vouched for by the department for six years from today. The passphrase stays.'],
  confirm: 'Renew',
  done: `The certificate of ${of} is renewed.`,
  run: (client, given) =>
    asked(client, 'key.extend', { key: key.key, departmentPassphrase: given.departmentPassphrase }),
});

export const departmentPassphraseChange = (name: string): KeyStep => ({
  ...plainly,
  title: 'Change the department’s passphrase',
  lead: name,
  says: [
    'Key and seal stay the same; they are locked under the new passphrase. Whoever knows only the old one certifies and seals nothing more in this notebook. A kept copy from before still opens with the old one.',
  ],
  passphrase: {
    label: 'New passphrase of the department',
    hint: 'Ten characters or more. Four or five unrelated words make a good one.',
    of: '',
  },
  departmentLabel: 'Passphrase until now',
  confirm: 'Change the passphrase',
  done: 'The department has a new passphrase.',
  run: (client, given) =>
    asked(client, 'department.change-passphrase', {
      old: given.departmentPassphrase,
      new: given.passphrase,
    }),
});

export const newSeal = (name: string, hasSeal: boolean): KeyStep => ({
  ...plainly,
  title: hasSeal ? 'Make a new seal' : 'Make the seal',
  lead: name,
  says: [
    hasSeal
      ? 'The seal until now is retired; what it sealed stays sealed. Hand the certificate of the new one to whoever reads the PDFs.'
      : 'A key and a certificate that readers of PDF understand, vouched for by the department’s own key and locked under its passphrase.',
  ],
  confirm: hasSeal ? 'Make the new seal' : 'Make the seal',
  done: 'The department has a new seal.',
  run: (client, given) => asked(client, 'seal.make', { departmentPassphrase: given.departmentPassphrase }),
});

export const sealRetirement = (name: string): KeyStep => ({
  ...plainly,
  title: 'Retire the seal',
  lead: name,
  says: ['Nothing is sealed any more until a new seal is made. What was sealed stays as it is.'],
  reason: { label: 'Reason', hint: 'It stands in the audit trail.' },
  confirm: 'Retire the seal',
  isGrave: true,
  done: 'The seal is retired.',
  run: (client, given) =>
    asked(client, 'seal.retire', {
      reason: given.reason,
      departmentPassphrase: given.departmentPassphrase,
    }),
});
