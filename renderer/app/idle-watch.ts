const signs = ['pointerdown', 'pointermove', 'keydown', 'wheel', 'touchstart', 'input'] as const;
const lookEveryMs = 2_000;

export interface IdleCallbacks {
  /** Seconds left before the lock, while fewer than a minute; null when it is no longer near. */
  readonly onNear: (secondsLeft: number | null) => void;
  readonly onIdle: () => void;
  /** About once a minute while somebody is working, so that the other side knows it too. */
  readonly onBusy: () => void;
}

/** Watches for signs of a person at the keyboard; calls `onIdle` once when there were none for so long. */
export function watchIdle(idleMinutes: number, callbacks: IdleCallbacks): () => void {
  let lastSign = Date.now();
  let lastBusy = Date.now();
  let isNear = false;
  const note = (): void => {
    lastSign = Date.now();
  };
  const timer = setInterval(() => {
    const now = Date.now();
    const leftMs = lastSign + idleMinutes * 60_000 - now;
    if (leftMs <= 0) {
      stop();
      callbacks.onIdle();
    } else if (leftMs < 60_000) {
      isNear = true;
      callbacks.onNear(Math.ceil(leftMs / 1000));
    } else {
      if (isNear) callbacks.onNear(null);
      isNear = false;
      if (lastSign > lastBusy && now - lastBusy > 60_000) {
        lastBusy = now;
        callbacks.onBusy();
      }
    }
  }, lookEveryMs);
  for (const sign of signs) addEventListener(sign, note, { passive: true, capture: true });

  function stop(): void {
    clearInterval(timer);
    for (const sign of signs) removeEventListener(sign, note, { capture: true });
  }
  return stop;
}
