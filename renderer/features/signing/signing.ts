import type { Refusal } from '../../../core/contract/contract.ts';
import type { EntryView } from '../../../core/contract/views.ts';
import type { Result } from '../../../core/result.ts';
import type { SigningRequest } from '../../app/places.ts';
import type { Client } from '../../client/client.ts';

type Meaning = SigningRequest['meaning'];

interface SigningWords {
  readonly title: string;
  /** On the button that asks for the signature. */
  readonly action: string;
  readonly done: string;
  readonly ink: 'student' | 'instructor';
  readonly sign: string;
}

/** How each kind of signature is spoken of on the screen. */
export const signingWords: Readonly<Record<Meaning, SigningWords>> = {
  performed: {
    title: 'Sign and hand in',
    action: 'Sign and hand in',
    done: 'Signed and handed in. It waits in the tray to be read.',
    ink: 'student',
    sign: '✎',
  },
  amended: {
    title: 'Sign the amendment',
    action: 'Sign and hand in',
    done: 'The amendment is signed and handed in. The earlier version stays beside it.',
    ink: 'student',
    sign: '✎',
  },
  returned: {
    title: 'Return this entry',
    action: 'Sign and return',
    done: 'Returned. The student can edit it again; the signed version stays in the history.',
    ink: 'instructor',
    sign: '↩',
  },
  countersigned: {
    title: 'Countersign and lock',
    action: 'Countersign and lock',
    done: 'Countersigned. The entry is locked from now on.',
    ink: 'instructor',
    sign: '✓',
  },
};

/**
 * Sends the one signature that was read.
 *
 * @param versionHash of the text that was shown: anything else is refused on the other side
 * @param remark what is to be put right (returned) or the mark (countersigned); unused otherwise
 */
export function sendSignature(
  client: Client,
  request: SigningRequest,
  versionHash: string,
  remark: string,
  passphrase: string,
): Promise<Result<EntryView, Refusal>> {
  const entryId = request.entry.id;
  switch (request.meaning) {
    case 'performed':
    case 'amended':
      return client.ask('entry.sign', { entryId, revision: request.entry.revision, versionHash, passphrase });
    case 'returned':
      return client.ask('entry.return', { entryId, versionHash, remark, passphrase });
    case 'countersigned':
      return client.ask('entry.countersign', { entryId, versionHash, mark: remark, passphrase });
  }
}
