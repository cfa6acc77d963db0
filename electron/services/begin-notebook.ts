import type { PersonView } from '../../core/contract/views.ts';
import type { Role } from '../../core/record/objects.ts';
import { departmentPerson, sealCertificate, type Sign } from '../../core/record/build.ts';
import { passphraseProblem } from '../../core/record/passphrase.ts';
import { ok } from '../../core/result.ts';
import { recordCrypto } from '../keys/crypto.ts';
import { createKey, sealedKeyText, type ScryptCost } from '../keys/sealed-key.ts';
import type { Asking } from './asking.ts';
import type { Posting } from './posting.ts';
import { makeSealKey } from './seal-key.ts';
import { refuse, type Program } from './program.ts';
import { transact } from './transact.ts';

export interface NewPerson {
  readonly printedName: string;
  readonly initials: string;
  readonly role: Role;
  readonly passphrase: string;
}

/** Years for which the department vouches for a key: a degree, and some. */
const yearsCertified = 6;

/** A certificate's end, so many years after `at`, UTC. */
export function certifiedUntil(at: string, years: number = yearsCertified): string {
  const date = new Date(at);
  date.setUTCFullYear(date.getUTCFullYear() + years);
  return date.toISOString();
}

/** The refusal a weak passphrase earns; null for a good one. */
export function passphraseRefusal(
  typed: string,
  printedName: string,
  where: string,
): ReturnType<typeof refuse<'passphrase-too-short'>> | ReturnType<typeof refuse<'invalid-input'>> | null {
  const problem = passphraseProblem(typed, printedName);
  if (problem === null) return null;
  if (problem.code === 'passphrase-too-short') return refuse('passphrase-too-short', where, problem.facts);
  return refuse('invalid-input', where, { ...problem.facts, reason: problem.code });
}

/** A key made for a person, not stored yet: making it is slow and belongs outside the transaction. */
export interface MadeKey {
  readonly id: string;
  readonly publicKey: string;
  readonly sealed: string;
  readonly sign: Sign;
}

export async function makeKey(
  program: Program,
  personId: string,
  passphrase: string,
  cost: ScryptCost,
): Promise<MadeKey> {
  const keyId = program.newId();
  const { sealed, key } = await createKey({ person: personId, keyId }, passphrase, cost);
  return { id: keyId, publicKey: key.publicKey, sealed: sealedKeyText(sealed), sign: key.sign };
}

/** Stores a person with their key, certified by the department. */
export async function storePerson(
  posting: Posting,
  program: Program,
  made: {
    readonly id: string;
    readonly person: Omit<NewPerson, 'passphrase'>;
    readonly key: MadeKey;
    readonly serial: number;
    readonly issuer: string;
    readonly certify: Sign;
  },
): Promise<PersonView> {
  const at = program.clock.now();
  const { printedName, initials, role } = made.person;
  await posting.insert('person', {
    id: made.id,
    printed_name: printedName,
    initials,
    role,
    created_at: at,
  });
  await posting.insert('sealed_key', {
    id: made.key.id,
    person_id: made.id,
    public_key: made.key.publicKey,
    sealed: made.key.sealed,
    created_at: at,
    retired_at: null,
  });
  const stated = {
    serial: made.serial,
    person: made.id,
    printedName,
    role,
    publicKey: made.key.publicKey,
    notBefore: at,
    notAfter: certifiedUntil(at),
    issuer: made.issuer,
  };
  await posting.addCertificate(sealCertificate(recordCrypto, stated, made.certify), {
    serial: stated.serial,
    person_id: stated.person,
    role,
    public_key: stated.publicKey,
    not_before: stated.notBefore,
    not_after: stated.notAfter,
  });
  return { id: made.id, printedName, initials, role };
}

/**
 * Begins a notebook: the department with its own key, and the first persons, each with a key that the
 * department certifies. One event tells it all. Passphrases have been looked at before.
 */
export async function beginNotebook(
  asking: Asking,
  input: {
    readonly institution: string;
    readonly department: string;
    readonly passphrase: string;
    readonly people: readonly NewPerson[];
    readonly isDemo: boolean;
  },
  cost: ScryptCost = asking.program.keyCost,
): Promise<readonly PersonView[]> {
  const { program } = asking;
  const ownKey = await makeKey(program, departmentPerson, input.passphrase, cost);
  const made: { readonly id: string; readonly person: NewPerson; readonly key: MadeKey }[] = [];
  // One after the other: each takes 128 MiB while it lasts.
  for (const person of input.people) {
    const id = program.newId();
    made.push({ id, person, key: await makeKey(program, id, person.passphrase, cost) });
  }
  const notebookId = program.newId();
  const seal = await makeSealKey(
    program,
    {
      notebook: notebookId,
      institution: input.institution,
      department: input.department,
      serial: 1,
      issuer: ownKey.publicKey,
      certify: ownKey.sign,
      passphrase: input.passphrase,
    },
    cost,
  );
  const begun = await transact(asking, async (posting) => {
    const at = program.clock.now();
    await posting.insert('notebook', {
      id: notebookId,
      institution: input.institution,
      department: input.department,
      department_key: ownKey.publicKey,
      is_demo: input.isDemo ? 1 : 0,
      format: 1,
      created_at: at,
    });
    await posting.insert('sealed_key', {
      id: ownKey.id,
      person_id: null,
      public_key: ownKey.publicKey,
      sealed: ownKey.sealed,
      created_at: at,
      retired_at: null,
    });
    const own = {
      serial: 1,
      person: departmentPerson,
      printedName: input.department,
      role: 'department' as const,
      publicKey: ownKey.publicKey,
      notBefore: at,
      notAfter: certifiedUntil(at),
      issuer: ownKey.publicKey,
    };
    await posting.addCertificate(sealCertificate(recordCrypto, own, ownKey.sign), {
      serial: 1,
      person_id: departmentPerson,
      role: 'department',
      public_key: own.publicKey,
      not_before: own.notBefore,
      not_after: own.notAfter,
    });
    await posting.insert('seal_key', seal);
    const people: PersonView[] = [];
    for (const [index, one] of made.entries()) {
      people.push(
        await storePerson(posting, program, {
          ...one,
          serial: index + 2,
          issuer: ownKey.publicKey,
          certify: ownKey.sign,
        }),
      );
    }
    await posting.tell({ action: input.isDemo ? 'notebook.demo' : 'notebook.begin', actor: null });
    return ok(people);
  });
  return begun.value;
}
