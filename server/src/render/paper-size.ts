/** The sizes of paper that sheets are laid out for. */

/** A4 of ISO 216, 210 mm × 297 mm; letter, size A of ANSI/ASME Y14.1, 8.5 in × 11 in. */
export type PaperSize = 'a4' | 'letter';

export const PAPER_SIZES: readonly PaperSize[] = ['a4', 'letter'];

/** As a style sheet's `@page` names it. */
export function pageSize(paper: PaperSize): string {
  return paper === 'letter' ? 'letter' : 'A4';
}
