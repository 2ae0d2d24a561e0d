/** An id that sorts by time (RFC 9562, UUID version 7), from the milliseconds since 1970 and sixteen random bytes. */
export function timedId(ms: number, random: Uint8Array): string {
  const bytes = Uint8Array.from(random);
  for (let at = 0; at < 6; at++) bytes[at] = Math.floor(ms / 256 ** (5 - at)) % 256;
  bytes[6] = (bytes[6]! & 0x0f) | 0x70;
  bytes[8] = (bytes[8]! & 0x3f) | 0x80;
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
}
