/** Goes into every hand-in, for whoever opens the file with something else. */
export const handInReadme = `This is a hand-in of a practical record.

fairleaf-record.json   the signed entries: canonical JSON (RFC 8785). "versions" holds each signed
                       version, "signatures" who signed it and when, "certificates" whose keys those
                       are, "events" what was done and when.
hand-in.json           the sender's signed statement of what is handed in.
attachments/           files that belong to the entries; each is named by its SHA-256.

Every object is kept as its exact bytes ("bytes") with its SHA-256 ("hash") and, where there is one,
its Ed25519 signature. Hash and signature are made over: the kind of object, one zero byte, the bytes.
The kinds: fairleaf/version/1, fairleaf/signature/1, fairleaf/event/1, fairleaf/certificate/1,
fairleaf/revocation/1, fairleaf/checkpoint/1.
`;

/** Who deposited, and how their key is known again. */
interface Depositor {
  readonly institution: string;
  readonly department: string;
  readonly fingerprint: string;
  readonly depositedAt: string;
}

/** The three steps that every bag of ours is checked by; each block of commands ends with a blank line. */
const firstSteps = (facts: Depositor): string => `1. Is every file as it was deposited?

   sha512sum -c --quiet manifest-sha512.txt && echo good
   find data ! -type d | wc -l
   wc -l < manifest-sha512.txt

   It must print "good", and the two numbers must be the same: if the first is larger, somebody added
   files to data/. Beside data/ there are only bagit.txt, bag-info.txt, manifest-sha512.txt,
   tagmanifest-sha512.txt and the four files in seal/; nobody signed for any other file, nor for the
   labels in bag-info.txt.

2. Did the department deposit exactly these files? The first command must print "Signature Verified
   Successfully"; the two numbers that the second and third print must be the same.

   openssl pkeyutl -verify -pubin -inkey seal/department.pem -rawin -in seal/checkpoint -sigfile seal/checkpoint.sig
   sha256sum < manifest-sha512.txt
   tr -d '\\0' < seal/checkpoint | grep -o '"manifestHash":"[0-9a-f]*"'

3. Is it really the department's key? This prints a number whose first 20 digits are the fingerprint of
   the key that step 2 used. Compare them with the fingerprint the department printed on its certificate
   pages or published (there in groups of four, in capitals); it should be
   ${facts.fingerprint}

   key=$(openssl pkey -pubin -in seal/department.pem -outform DER | tail -c 32 | od -An -v -tx1 | tr -d ' \\n')
   printf 'fairleaf/key/1\\0%s' "$key" | sha256sum

   Without a fingerprint from somewhere else than this package, a forger could have made all of it anew.

`;

/** For the reader of a deposit in twenty years, with nothing but common tools. */
export const depositReadme = (
  facts: Depositor & { readonly recordTitle: string },
): string => `${facts.recordTitle}
${facts.department}, ${facts.institution}
Deposited ${facts.depositedAt} (UTC)

WHAT THIS IS

A practical record of preparative chemistry, as it was signed by the student and countersigned by the
instructor. The package is a BagIt bag, version 1.0 (RFC 8493). To read the record, open data/record.pdf;
data/entries/ holds each entry as a PDF by itself, named by its number in the record. All that they show
is also there as data:

data/fairleaf-record.json   everything in one file: canonical JSON (RFC 8785)
data/objects/               the exact bytes of each signed version, signature, event and certificate.
                            Each file is named by its own SHA-256
data/signatures/            Ed25519 signatures (RFC 8032), 64 bytes, named like the object they sign
data/keys/                  the public keys: of people, named by their certificate; of the department,
                            named by the key itself
data/attachments/           photographs and measurements, each named by its own SHA-256
seal/                       the department's signed statement about this whole package

An object begins with its kind (for example "fairleaf/version/1"), one zero byte, and then JSON text.

HOW TO CHECK IT WITHOUT OUR PROGRAM

You need sha256sum and sha512sum (GNU coreutils) and openssl, version 1.1.1 or newer. Open a command
line in the folder that holds data/ and seal/.

${firstSteps(facts)}4. Was each object left unchanged, and does each signature hold?

   cd data/objects && sha256sum -- * | awk '$1 != $2 { bad = 1 } END { exit bad }' && echo good; cd ../..

   for s in data/signatures/*.sig; do
     name=$(basename "$s" .sig)
     object=data/objects/$name
     issuer=$(tr -d '\\0' < "$object" | grep -o '"issuer":"[0-9a-f]*"' | cut -d'"' -f4)
     holder=$(tr -d '\\0' < "$object" | grep -o '"certificateHash":"[0-9a-f]*"' | cut -d'"' -f4)
     pem=data/keys/\${issuer:-$holder}.pem
     openssl pkeyutl -verify -pubin -inkey "$pem" -rawin -in "$object" -sigfile "$s" || echo "$name is BAD"
   done

   A signature on an entry names the version it signs ("versionHash", a file in data/objects), who
   signed ("signer"), what it means ("meaning") and when ("signedAt"). A certificate names the person
   and the public key; it is signed by the department.

WHAT CANNOT BE SEEN FROM THIS PACKAGE ALONE

The times are those of the computers it was written on. "events" holds the part of the audit trail that
concerns these entries; that none was left out rests on the department's seal. Safety statements were
those known at the time: use the supplier's current safety data sheet and your own rules instead.
`;

/** For the reader of a whole class in twenty years. */
export const classReadme = (
  facts: Depositor & { readonly count: number },
): string => `${facts.count} practical records
${facts.department}, ${facts.institution}
Deposited ${facts.depositedAt} (UTC)

WHAT THIS IS

The practical records of a class, deposited together. The package is a BagIt bag, version 1.0 (RFC 8493).

data/class-list.csv   whose record is in which file; a table for any spreadsheet
data/class-list.json  the same for programs
data/records/         one zip for each record. Each holds a BagIt bag of its own, which is whole without
                      the others: unpacked, its data/README.txt says what is in it
seal/                 the department's signed statement about this whole package

HOW TO CHECK IT WITHOUT OUR PROGRAM

You need sha256sum and sha512sum (GNU coreutils), openssl, version 1.1.1 or newer, and unzip. Open a
command line in the folder that holds data/ and seal/.

${firstSteps(facts)}4. Is each record as it was deposited? This unpacks them beside data/, into a folder "records" that
   must not be there yet, and checks each bag and its seal. It must print "Signature Verified
   Successfully" ${facts.count} ${facts.count === 1 ? 'time' : 'times'}, and nothing with BAD. Step 4 of the README inside a record
   checks the single signatures.

   mkdir records && for z in data/records/*.zip; do
     name=$(basename "$z" .zip)
     unzip -q -n "$z" -d records || echo "$name is BAD"
     ( cd "records/$name" && sha512sum -c --quiet manifest-sha512.txt && [ "$(find data ! -type d | wc -l)" -eq "$(wc -l < manifest-sha512.txt)" ] && cmp seal/department.pem ../../seal/department.pem && openssl pkeyutl -verify -pubin -inkey seal/department.pem -rawin -in seal/checkpoint -sigfile seal/checkpoint.sig && tr -d '\\0' < seal/checkpoint | grep -q "$(sha256sum < manifest-sha512.txt | cut -c1-64)" ) || echo "$name is BAD"
   done

WHAT CANNOT BE SEEN FROM THIS PACKAGE ALONE

That these are all the records there were. The list holds what the department chose to deposit together;
what was not signed then is not in it.
`;
