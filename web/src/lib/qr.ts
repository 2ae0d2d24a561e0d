// A text as a QR code (ISO/IEC 18004), as a path of an SVG whose unit is one module.

import qrcode from "qrcode-generator";

/** The quiet zone around the code, in modules: ISO/IEC 18004 asks for 4. */
const QUIET = 4;

export interface Qr {
  /** The side of the whole picture, quiet zone and all, in modules. */
  side: number;
  path: string;
}

export function qrOf(text: string): Qr {
  // Level M: a scratch or a crease takes away no more than 15 % of it.
  const code = qrcode(0, "M");
  code.addData(text);
  code.make();
  const count = code.getModuleCount();
  const rows = Array.from({ length: count }, (_, row) => row);
  const path = rows
    .flatMap((row) =>
      rowPath(
        row,
        rows.map((column) => code.isDark(row, column)),
      ),
    )
    .join("");
  return { side: count + 2 * QUIET, path };
}

/** One stroke for each run of dark modules. */
function rowPath(row: number, dark: boolean[]): string[] {
  return dark.flatMap((isDark, column) => {
    if (!isDark || dark[column - 1]) return [];
    const end = dark.indexOf(false, column);
    const length = (end < 0 ? dark.length : end) - column;
    return [`M${column + QUIET} ${row + QUIET}h${length}v1h-${length}z`];
  });
}
