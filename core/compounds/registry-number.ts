/**
 * Whether a Chemical Abstracts registry number is well formed and its check digit right.
 *
 * The digits before the last, counted from the right and weighted 1, 2, 3 …, add up to the last
 * digit modulo ten. A right check digit does not prove that the number belongs to the substance.
 *
 * @param text `50-78-2`: two to seven digits, two digits, the check digit
 * @source CAS, "Check Digit Verification of CAS Registry Numbers" (from memory)
 */
export function isRegistryNumber(text: string): boolean {
  if (!/^[1-9]\d{1,6}-\d\d-\d$/.test(text)) return false;
  const digits = text.replaceAll('-', '');
  const body = [...digits.slice(0, -1)].reverse();
  const sum = body.reduce((total, digit, place) => total + Number(digit) * (place + 1), 0);
  return sum % 10 === Number(digits.at(-1));
}
