/**
 * How wide text will be, without a screen to ask. The widths are those of the sans serif that most systems have (advance widths
 * of Helvetica in thousandths of an em, from the Adobe font metrics, from memory), with a margin for the wider ones.
 */

/** Fonts such as DejaVu Sans run about an eighth wider than the table. */
const MARGIN = 1.13;

const WIDTHS: Record<string, number> = {};
const GROUPS: readonly (readonly [number, string])[] = [
  [222, 'ijl\'’‘|'], [278, ' \u00a0ftI.,:;/\\![]()·'], [333, 'r-"“”*{}'], [500, 'cksvxyzJ'], [556, 'abdeghnopqu0123456789L_#$?+<>=~°'],
  [611, 'FTZ'], [667, 'ABEKPSVXY&'], [722, 'wCDHNRU'], [778, 'GOQ'], [833, 'mM'], [889, '%'], [944, 'W'], [1000, '…→—'], [200, '\u202f'],
];
for (const [width, characters] of GROUPS) for (const character of characters) WIDTHS[character] = width;

/** The width in px of one line at a font size in px. Characters outside the table count as an average or, where wide, a full em. */
export function textWidth(text: string, fontSize: number, weight: 'normal' | 'bold' = 'normal'): number {
  let thousandths = 0;
  for (const character of text) {
    thousandths += WIDTHS[character] ?? ((character.codePointAt(0) ?? 0) >= 0x1100 && !/[\u2000-\u22ff]/.test(character) ? 1000 : 620);
  }
  return (thousandths / 1000) * fontSize * MARGIN * (weight === 'bold' ? 1.07 : 1);
}
