/**
 * Keeps the screen awake while the bench is open, where the browser and the machine allow it.
 *
 * @param onState called with whether the screen is being kept awake
 * @returns lets the screen sleep again
 */
export function keepAwake(onState: (isAwake: boolean) => void): () => void {
  let lock: WakeLockSentinel | null = null;
  let isOver = false;

  const ask = async (): Promise<void> => {
    if (isOver || document.visibilityState !== 'visible' || !('wakeLock' in navigator)) return;
    try {
      lock = await navigator.wakeLock.request('screen');
      if (isOver) void lock.release();
      else onState(true);
      lock.addEventListener('release', () => onState(false));
    } catch {
      // Refused by the machine or its settings: then the screen sleeps as it always does.
      onState(false);
    }
  };
  const again = (): void => void ask();
  // The lock is lost whenever the page is hidden.
  document.addEventListener('visibilitychange', again);
  void ask();
  return () => {
    isOver = true;
    document.removeEventListener('visibilitychange', again);
    void lock?.release();
  };
}
