/** Colours for a terminal, or none. The caller decides; a renderer never looks at a terminal or an environment itself. */
import picocolors from 'picocolors';

export interface Paint {
  strong(text: string): string;
  faint(text: string): string;
  error(text: string): string;
  warning(text: string): string;
  hint(text: string): string;
  good(text: string): string;
  mark(text: string): string;
}

const plain = (text: string): string => text;

/** Paints nothing: for files, pipes and NO_COLOR. */
export const NO_PAINT: Paint = { strong: plain, faint: plain, error: plain, warning: plain, hint: plain, good: plain, mark: plain };

/** The eight ANSI colours, which the terminal's own theme decides. */
export function terminalPaint(): Paint {
  const colours = picocolors.createColors(true);
  return {
    strong: colours.bold,
    faint: colours.dim,
    error: (text) => colours.bold(colours.red(text)),
    warning: (text) => colours.bold(colours.yellow(text)),
    hint: (text) => colours.bold(colours.cyan(text)),
    good: (text) => colours.bold(colours.green(text)),
    mark: colours.underline,
  };
}
