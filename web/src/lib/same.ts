// Whether two values from the wire say the same. The order of keys does not matter, and a part that is absent
// equals one that is null.

export function isSame(a: unknown, b: unknown): boolean {
  if (a === b) return true;
  if (a === null || a === undefined) return b === null || b === undefined;
  if (typeof a !== "object" || typeof b !== "object" || b === null) return false;
  if (Array.isArray(a) !== Array.isArray(b)) return false;
  const [left, right] = [a as Record<string, unknown>, b as Record<string, unknown>];
  if (Array.isArray(a) && Array.isArray(b) && a.length !== b.length) return false;
  const keys = new Set([...Object.keys(left), ...Object.keys(right)]);
  return [...keys].every((key) => isSame(left[key], right[key]));
}
