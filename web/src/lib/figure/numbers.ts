// Numbers and paths that lie between two others.

/** What lies `t` of the way from `a` to `b`. */
export const mix = (a: number, b: number, t: number): number => a + (b - a) * t;

/** A number as it stands in a path: a tenth is finer than anybody sees. */
export const f = (n: number): string => String(Math.round(n * 10) / 10);

/** Two paths of the same commands: every number goes from the first to the second. */
export function morph(from: string, to: string, t: number): string {
  const ends = to.match(/-?\d+(\.\d+)?/g) ?? [];
  let index = 0;
  return from.replace(/-?\d+(\.\d+)?/g, (n) => f(mix(Number(n), Number(ends[index++] ?? n), t)));
}
