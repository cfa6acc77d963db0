/** The three lights to read by. */
export const lights = [
  { id: 'day', label: 'Day', note: 'Ink on paper' },
  { id: 'evening', label: 'Evening', note: 'Light ink on dark paper' },
  { id: 'bench', label: 'Bench light', note: 'Black on white, larger, thick rules' },
] as const;
export type Light = (typeof lights)[number]['id'];

const key = 'fairleaf-light';
const isLight = (text: string | null): text is Light => lights.some((light) => light.id === text);

function remembered(): Light {
  try {
    const kept = localStorage.getItem(key);
    if (isLight(kept)) return kept;
  } catch {
    // Storage may be switched off for the page; then the computer's own preference decides.
  }
  if (matchMedia('(prefers-contrast: more)').matches) return 'bench';
  return matchMedia('(prefers-color-scheme: dark)').matches ? 'evening' : 'day';
}

/** Which light is on; kept on this computer, not in the notebook. */
export class LightSwitch {
  current: Light = $state(remembered());

  constructor() {
    document.documentElement.dataset['light'] = this.current;
  }

  set(light: Light): void {
    this.current = light;
    document.documentElement.dataset['light'] = light;
    try {
      localStorage.setItem(key, light);
    } catch {
      // Not kept; the light still changes.
    }
  }
}
