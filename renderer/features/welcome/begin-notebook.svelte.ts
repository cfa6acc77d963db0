import type { Role } from '../../../core/record/objects.ts';
import type { InputOf } from '../../../core/contract/request-map.ts';
import { passphraseProblem } from '../../../core/record/passphrase.ts';
import { initialsFrom, passphraseError } from '../../components/person-words.ts';

/** One line of the form for the first people. */
export class FirstPerson {
  readonly key: number;
  printedName = $state('');
  /** What was typed; empty means "made from the name". */
  typedInitials = $state('');
  role: Role = $state('instructor');
  passphrase = $state('');
  initials = $derived.by(() => this.typedInitials || initialsFrom(this.printedName));

  constructor(key: number, role: Role) {
    this.key = key;
    this.role = role;
  }
}

/** The first three pages of a new notebook: the department, its passphrase, the first people. */
export class NotebookForm {
  page: 1 | 2 | 3 = $state(1);
  institution = $state('');
  department = $state('');
  passphrase = $state('');
  again = $state('');
  people: readonly FirstPerson[] = $state.raw([
    new FirstPerson(1, 'department'),
    new FirstPerson(2, 'instructor'),
    new FirstPerson(3, 'student'),
  ]);
  /** Errors are shown once "Next" was pressed on that page. */
  isTried = $state(false);
  #lastKey = 3;

  errors: Readonly<Record<string, string>> = $derived.by(() => {
    const found: Record<string, string> = {};
    if (this.page === 1) {
      if (this.institution.trim() === '') found['institution'] = 'Name the college or university.';
      if (this.department.trim() === '') found['department'] = 'Name the department.';
    }
    if (this.page === 2) {
      const error = passphraseError(passphraseProblem(this.passphrase, this.department));
      if (error !== '') found['passphrase'] = error;
      else if (this.passphrase !== this.again) found['again'] = 'The two do not match.';
    }
    if (this.page === 3) this.#personErrors(found);
    return found;
  });
  shownErrors: Readonly<Record<string, string>> = $derived.by(() => (this.isTried ? this.errors : {}));

  addPerson(): void {
    this.people = [...this.people, new FirstPerson(++this.#lastKey, 'student')];
  }

  removePerson(key: number): void {
    this.people = this.people.filter((person) => person.key !== key);
  }

  /** True when the page is complete and the next one (or sending) may follow. */
  next(): boolean {
    this.isTried = true;
    if (Object.keys(this.errors).length > 0) return false;
    if (this.page < 3) {
      this.page = this.page === 1 ? 2 : 3;
      this.isTried = false;
    }
    return true;
  }

  back(): void {
    this.page = this.page === 3 ? 2 : 1;
    this.isTried = false;
  }

  input(): InputOf<'setup.begin'> {
    return {
      institution: this.institution.trim(),
      department: this.department.trim(),
      passphrase: this.passphrase,
      people: this.people.map((person) => ({
        printedName: person.printedName.trim(),
        initials: person.initials.trim(),
        role: person.role,
        passphrase: person.passphrase,
      })),
    };
  }

  #personErrors(found: Record<string, string>): void {
    const names = this.people.map((person) => person.printedName.trim().toLowerCase());
    for (const [i, person] of this.people.entries()) {
      const name = person.printedName.trim();
      if (name === '') found[`name-${person.key}`] = 'Write the name as it is printed beside a signature.';
      else if (names.indexOf(name.toLowerCase()) < i) {
        found[`name-${person.key}`] = 'This name stands here twice.';
      }
      if (person.initials.trim() === '') found[`initials-${person.key}`] = 'Two to four letters.';
      const error = passphraseError(passphraseProblem(person.passphrase, name));
      if (error !== '') found[`passphrase-${person.key}`] = error;
    }
    if (this.people.length === 0) found['people'] = 'Add at least one person.';
  }
}
