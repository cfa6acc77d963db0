type Facts = Readonly<Record<string, string | number>>;

const said = (facts: Facts, key: string): string => String(facts[key] ?? '');
const because = (facts: Facts): string => (said(facts, 'reason') === '' ? '' : ` (${said(facts, 'reason')})`);

/** The life of a key: what a check says of one that was withdrawn, and why something is refused. */
export const keySentences: Readonly<Record<string, (facts: Facts) => string>> = {
  'key-retired': (f) =>
    `This key was retired on ${said(f, 'at')}${because(f)}. What it signed before stays good.`,
  'key-in-wrong-hands': (f) =>
    `The department declared on ${said(f, 'at')} that this key was in wrong hands from ${said(f, 'since')} on${because(f)}.`,
  'signed-after-retirement': (f) =>
    `The department had retired this key on ${said(f, 'at')}, before this was signed with it.`,
  'certified-after-retirement': (f) =>
    `The department had retired the key that issued this certificate on ${said(f, 'at')}, before it was issued.`,

  'no-key-in-use': () =>
    'This person has no key in use here: it was retired, or the account is closed. The department can certify a new one under People.',
  'certificate-ended': (f) =>
    `The department vouches for this key until ${said(f, 'until')}. Renew the certificate under People, then sign.`,
  'key-not-in-use': () => 'This key is not in use any more. Look again: somebody may have been faster.',
  'last-of-department': () =>
    'This is the last key with which somebody can sign in for the department. Add another person of the department first.',
  'since-not-past': () => 'Say a day and time that has been: from then on what the key signed is doubted.',
};
