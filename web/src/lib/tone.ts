// The start sound of a phase: low, with harmonics, since older ears hear a 520 Hz square wave best
// (Bruck and Thomas 2009). Never the only clue. Needs a tap first, as browsers demand.

export type Pattern = "start" | "change" | "rest";

/** Frequencies in Hz of the beeps of each pattern; a rise for work, a fall for rest. */
const BEEPS: Record<Pattern, readonly number[]> = {
  start: [520, 650],
  change: [520],
  rest: [650, 520],
};
const CALL = [780, 520, 780] as const;
const URGENT_CALL = [780, 520, 780, 520, 780, 520] as const;
const BEEP_S = 0.16;
const LOUDNESS = 0.12;
/** The loudest call; a cue stays well below it. */
const LOUDEST = 0.6;

export class Tones {
  #context: AudioContext | null = null;

  get isOn(): boolean {
    return this.#context !== null;
  }

  /** Call from a tap. */
  turnOn(): void {
    this.#context ??= new AudioContext();
    void this.#context.resume().catch(() => undefined);
  }

  play(pattern: Pattern): void {
    this.#beep(BEEPS[pattern], LOUDNESS);
  }

  /** Calls the desk; `volume` from 0 to 1. An urgent call is longer and never sounds like a cue. */
  call(volume: number, urgent: boolean): void {
    this.#beep(urgent ? URGENT_CALL : CALL, LOUDEST * volume);
  }

  #beep(hertz: readonly number[], loudness: number): void {
    const context = this.#context;
    if (context?.state !== "running") return;
    hertz.forEach((hz, index) => {
      const from = context.currentTime + index * BEEP_S;
      const tone = new OscillatorNode(context, { type: "square", frequency: hz });
      const gain = new GainNode(context, { gain: 0 });
      gain.gain.setValueAtTime(0, from);
      gain.gain.linearRampToValueAtTime(loudness, from + 0.02);
      gain.gain.setValueAtTime(loudness, from + BEEP_S - 0.04);
      gain.gain.linearRampToValueAtTime(0, from + BEEP_S);
      tone.connect(gain).connect(context.destination);
      tone.start(from);
      tone.stop(from + BEEP_S);
    });
  }
}
