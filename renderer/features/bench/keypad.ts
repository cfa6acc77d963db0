/** One key of the pad on what has been typed; only what can become a number is let in. */
export function pressKey(typed: string, key: string): string {
  if (key === 'back') return typed.slice(0, -1);
  if (key === 'clear') return '';
  if (key === 'sign') return typed.startsWith('-') ? typed.slice(1) : `-${typed}`;
  if (key === '.')
    return typed.includes('.') ? typed : `${typed === '' || typed === '-' ? `${typed}0` : typed}.`;
  if (typed.replace(/\D/gu, '').length >= 8) return typed;
  return typed === '0' ? key : typed === '-0' ? `-${key}` : typed + key;
}
