// Where a cue's lines break, and how large they can be. Lines break at the ends of sentences where that costs little
// of the size, or else where they come out as large as possible. It is arithmetic: nothing is laid out to find it.

/** The room for the words, in CSS px. */
export interface Room {
  width: number;
  height: number;
  /** The size of two lines and more; one line alone may be a third larger. */
  most: number;
}

export interface Broken {
  lines: string[];
  /** The size of the type, in CSS px. */
  size: number;
}

export const LINE_HEIGHT = 1.06;
const ONE_LINE = 1.35;
/** One more line must make the words this much larger. */
const WORTH_A_LINE = 1.08;
const MOST_LINES = 8;
/** Whole sentences may cost this part of the size. */
const WHOLE_SENTENCES = 0.78;

/** Breaks `text` for `room`; `widthOf` gives the width of words in units of the type's size. */
export function broken(text: string, room: Room, widthOf: (words: string) => number): Broken {
  const words = text.split(/\s+/).filter((word) => word !== "");
  if (words.length === 0) return { lines: [], size: room.most };
  const sizeOf = (lines: readonly string[]): number => {
    const longest = Math.max(...lines.map(widthOf));
    const most = lines.length === 1 ? room.most * ONE_LINE : room.most;
    return Math.min(most, room.width / longest, room.height / (lines.length * LINE_HEIGHT));
  };
  const choices = Array.from({ length: Math.min(MOST_LINES, words.length) }, (_, n) =>
    evenly(words, n + 1, widthOf),
  );
  const best = choices.reduce((a, b) => (sizeOf(b) > sizeOf(a) * WORTH_A_LINE ? b : a));
  const sentences = text.match(/\S.*?[.!?:;](?=\s|$)|\S.*$/g) ?? [text];
  const lines = sizeOf(sentences) >= sizeOf(best) * WHOLE_SENTENCES ? [...sentences] : best;
  return { lines, size: Math.floor(sizeOf(lines)) };
}

/** The words on `count` lines, the longest of which is as short as possible. */
function evenly(words: readonly string[], count: number, widthOf: (words: string) => number): string[] {
  const known = new Map<string, { longest: number; lines: string[] }>();
  const rest = (from: number, left: number): { longest: number; lines: string[] } => {
    const key = `${from} ${left}`;
    const before = known.get(key);
    if (before) return before;
    let best = { longest: Infinity, lines: [] as string[] };
    if (left === 1) {
      const line = words.slice(from).join(" ");
      best = { longest: widthOf(line), lines: [line] };
    } else {
      for (let to = from + 1; to <= words.length - left + 1; to++) {
        const line = words.slice(from, to).join(" ");
        const wide = widthOf(line);
        if (wide >= best.longest) break;
        const below = rest(to, left - 1);
        const longest = Math.max(wide, below.longest);
        if (longest < best.longest) best = { longest, lines: [line, ...below.lines] };
      }
    }
    known.set(key, best);
    return best;
  };
  return rest(0, count).lines;
}
