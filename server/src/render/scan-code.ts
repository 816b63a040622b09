/**
 * A text as a two-dimensional code to scan (ISO/IEC 18004), drawn as one path. The library makes the code; here it becomes a drawing that
 * needs no style and no script.
 */
import { encode } from 'uqr';

export interface ScanCode {
  /** Width and height in modules, the quiet zone of four modules that the standard asks for included. */
  readonly size: number;
  /** The dark modules as an SVG path, one unit a module. */
  readonly path: string;
}

const QUIET_ZONE = 4;

/**
 * The code of a text. `level` is how much of it may be lost and still be read: L 7 %, M 15 %, Q 25 %. Throws a RangeError where the
 * text is too long for any code.
 */
export function scanCode(text: string, level: 'L' | 'M' | 'Q' = 'M'): ScanCode {
  const { data, size } = encode(text, { ecc: level, border: QUIET_ZONE });
  const parts: string[] = [];
  data.forEach((row, y) => {
    for (let x = 0; x < row.length; x++) {
      if (!row[x]) continue;
      const from = x;
      while (row[x + 1]) x++;
      parts.push(`M${from} ${y}h${x - from + 1}v1h-${x - from + 1}z`);
    }
  });
  return { size, path: parts.join('') };
}

/** The code as an SVG element with its name for those who hear the page. `name` must be escaped already. */
export function scanCodeSvg(text: string, name: string): string {
  const { size, path } = scanCode(text);
  return `<svg class="scan" viewBox="0 0 ${size} ${size}" role="img" aria-label="${name}" shape-rendering="crispEdges">`
    + `<path fill="#ffffff" d="M0 0h${size}v${size}h-${size}z"/><path fill="#000000" d="${path}"/></svg>`;
}
