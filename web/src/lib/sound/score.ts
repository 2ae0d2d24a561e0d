// The cue sounds, made in code: the notes of each one, and how they are put into an audio graph.
//
// Older ears hear a low sound with harmonics best (520 Hz square: Bruck and Thomas 2009), so all notes lie between
// 500 and 1,000 Hz, and each sound lasts 0.3 to 0.5 s in all. The patterns differ in rhythm as well as pitch, so
// that people who do not hear pitch can still tell them apart. The breath in sounds like a breath: a sound that
// resembles the action guides better than a beep (Young et al. 2016).

export type Pattern = "start" | "change" | "firmer" | "stop" | "rest" | "pause" | "tick" | "mark" | "safety";

export interface Note {
  /** When it begins, in seconds from the start of the pattern. */
  at: number;
  /** Its length, in seconds. */
  length: number;
  /** Its pitch in Hz; two values where it glides from one to the other. */
  hz: number;
  toHz?: number;
}

/** Work begins: short, long, rising. Work ends: long, short, falling. A rest: one long fall. */
export const PATTERNS: Record<Pattern, readonly Note[]> = {
  start: [
    { at: 0, length: 0.12, hz: 520 },
    { at: 0.16, length: 0.26, hz: 780 },
  ],
  change: [
    { at: 0, length: 0.09, hz: 585 },
    { at: 0.14, length: 0.09, hz: 585 },
    { at: 0.28, length: 0.09, hz: 585 },
  ],
  firmer: [
    { at: 0, length: 0.16, hz: 693 },
    { at: 0.2, length: 0.16, hz: 693 },
  ],
  stop: [
    { at: 0, length: 0.26, hz: 780 },
    { at: 0.3, length: 0.12, hz: 520 },
  ],
  rest: [{ at: 0, length: 0.45, hz: 660, toHz: 520 }],
  // The class stands still: long, short, short, and lower each time.
  pause: [
    { at: 0, length: 0.22, hz: 660 },
    { at: 0.26, length: 0.09, hz: 585 },
    { at: 0.38, length: 0.09, hz: 520 },
  ],
  // Three, two, one: a short note each, lower than the start that follows.
  tick: [{ at: 0, length: 0.14, hz: 520 }],
  // A mark within a hold: one soft note, while everybody goes on.
  mark: [{ at: 0, length: 0.3, hz: 660 }],
  // Everybody stops: two long falls, unlike any other cue.
  safety: [
    { at: 0, length: 0.22, hz: 780, toHz: 520 },
    { at: 0.27, length: 0.22, hz: 780, toHz: 520 },
  ],
};

/** The desk's calls, louder and longer than any cue. */
export type Call = "call" | "urgent";
const CALLS: Record<Call, readonly Note[]> = {
  call: [780, 520, 780].map((hz, n) => ({ at: n * 0.16, length: 0.15, hz })),
  urgent: [780, 520, 780, 520, 780, 520].map((hz, n) => ({ at: n * 0.16, length: 0.15, hz })),
};

/** How loud a cue is at full volume; a desk's call may be louder. */
const CUE_LEVEL = 0.25;
/** What sounds beside something else is half as loud. */
const SOFT: readonly Pattern[] = ["tick", "mark"];
const CALL_LEVEL = 0.6;
/** Longest sound of a breath, in seconds. */
const LONGEST_BREATH = 4;

/** A sound that was scheduled and can be taken back, before it begins or while it sounds. */
export type Written = AudioScheduledSourceNode[];

export function writeCue(context: BaseAudioContext, pattern: Pattern, at: number, volume: number): Written {
  const level = SOFT.includes(pattern) ? CUE_LEVEL / 2 : CUE_LEVEL;
  return PATTERNS[pattern].map((note) => write(context, note, at, level * volume));
}

export function writeCall(context: BaseAudioContext, call: Call, at: number, volume: number): Written {
  return CALLS[call].map((note) => write(context, note, at, CALL_LEVEL * volume));
}

/** What the filter takes from the noise is given back, so that a breath is as loud as the sound of a rest. */
const BREATH_GAIN = 12;

/** A breath in: soft noise whose pitch rises over the breath. */
export function writeBreath(context: BaseAudioContext, at: number, seconds: number, volume: number): Written {
  const length = Math.min(seconds, LONGEST_BREATH);
  const source = new AudioBufferSourceNode(context, { buffer: noiseOf(context) });
  const band = new BiquadFilterNode(context, { type: "bandpass", frequency: 500, Q: 4 });
  band.frequency.setValueAtTime(500, at);
  band.frequency.linearRampToValueAtTime(1_000, at + length);
  const loud = new GainNode(context, { gain: 0 });
  loud.gain.setValueAtTime(0, at);
  loud.gain.linearRampToValueAtTime(CUE_LEVEL * volume * BREATH_GAIN, at + length * 0.8);
  loud.gain.linearRampToValueAtTime(0, at + length);
  source.connect(band).connect(loud).connect(context.destination);
  source.start(at, 0, length);
  return [source];
}

const noises = new WeakMap<BaseAudioContext, AudioBuffer>();

/** Always the same noise, so that every breath sounds alike. */
function noiseOf(context: BaseAudioContext): AudioBuffer {
  const kept = noises.get(context);
  if (kept) return kept;
  const noise = context.createBuffer(1, context.sampleRate * LONGEST_BREATH, context.sampleRate);
  let seed = 1;
  noise.getChannelData(0).forEach((_, at, samples) => {
    seed = (seed * 48_271) % 2_147_483_647;
    samples[at] = (seed / 2_147_483_647) * 2 - 1;
  });
  noises.set(context, noise);
  return noise;
}

/** How quickly a note fades in and out; without that it would click. */
const EDGE_S = 0.015;

function write(context: BaseAudioContext, { at: offset, length, hz, toHz }: Note, at: number, level: number) {
  const [from, to] = [at + offset, at + offset + length];
  const tone = new OscillatorNode(context, { type: "square", frequency: hz });
  if (toHz !== undefined) {
    tone.frequency.setValueAtTime(hz, from);
    tone.frequency.linearRampToValueAtTime(toHz, to);
  }
  const loud = new GainNode(context, { gain: 0 });
  loud.gain.setValueAtTime(0, from);
  loud.gain.linearRampToValueAtTime(level, from + EDGE_S);
  loud.gain.setValueAtTime(level, to - EDGE_S);
  loud.gain.linearRampToValueAtTime(0, to);
  tone.connect(loud).connect(context.destination);
  tone.start(from);
  tone.stop(to);
  return tone;
}
