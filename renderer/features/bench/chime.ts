let context: AudioContext | null = null;

/** Three short tones, made on the spot: the time a step is given has come. */
export function chime(): void {
  try {
    context ??= new AudioContext();
    const start = context.currentTime + 0.02;
    for (const [at, pitchHz] of [
      [0, 880],
      [0.22, 880],
      [0.44, 1175],
    ] as const) {
      const tone = context.createOscillator();
      const loudness = context.createGain();
      tone.frequency.value = pitchHz;
      loudness.gain.setValueAtTime(0.25, start + at);
      loudness.gain.exponentialRampToValueAtTime(0.001, start + at + 0.18);
      tone.connect(loudness).connect(context.destination);
      tone.start(start + at);
      tone.stop(start + at + 0.2);
    }
  } catch {
    // No sound on this machine: the words on the screen say the same.
  }
}
