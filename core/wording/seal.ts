type Facts = Readonly<Record<string, string | number>>;

const said = (facts: Facts, key: string): string => String(facts[key] ?? '');

/** The department's seal on PDFs, and its certificate. */
export const sealSentences: Readonly<Record<string, (facts: Facts) => string>> = {
  'seal-statement-changed': () => 'The department’s word on the certificate of this seal was changed.',
  'seal-statement-forged': () =>
    'The department’s key does not vouch for the certificate of this seal: its signature does not fit.',
  'seal-certificate-swapped': () =>
    'The certificate of this seal is another one than the department’s key vouches for.',
  'pdf-seal-intact': (f) =>
    `Sealed by ${said(f, 'name')} on ${said(f, 'at')}. Not one byte of the file was changed since, pages included.`,
  'pdf-seal-none': () =>
    'This PDF carries no seal. The signed record inside was checked and its pages were compared with it; that not one byte was changed, only a sealed copy shows.',
  'pdf-seal-removed': () =>
    'This PDF was sealed by the department, and the seal is gone. Its pages may have been edited: read the values in the record it carries, or ask for the sealed file.',
  'pdf-seal-changed': (f) =>
    `The file was changed after ${said(f, 'name')} sealed it. Its pages may have been edited: read the values in the record it carries, or ask for the sealed file.`,
  'pdf-seal-appended': (f) =>
    `The seal of ${said(f, 'name')} covers only the first ${said(f, 'covered')} bytes; ${said(f, 'count')} were added behind it afterwards, which can change every page shown. Ask for the file as it was sealed.`,
  'pdf-seal-other': (f) =>
    `This PDF is sealed with a certificate (${said(f, 'name')}) that the department does not vouch for.`,
  'pdf-seal-unreadable': () => 'This PDF carries a seal that is damaged and says nothing any more.',
  'pdf-seal-outside-validity': (f) =>
    `Sealed on ${said(f, 'at')}, but the certificate of the seal is good only from ${said(f, 'from')} to ${said(f, 'until')}.`,
  'seal-missing': () =>
    'The department has no seal in use. Make one under People, then bind again; without it a PDF can be bound unsealed.',
  'seal-expired': (f) =>
    `The certificate of the department’s seal ended on ${said(f, 'until')}. Make a new seal under People, then bind again.`,
};
