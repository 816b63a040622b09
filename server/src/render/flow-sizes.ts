/** How large the symbols and labels of a flow drawing are, and how their text breaks into lines: nothing is ever cut off. */
import { bindUnits } from './bind-units.ts';
import { harmlessLine } from './harmless-text.ts';
import { textWidth } from './text-metrics.ts';
import { wrapText } from './wrap-text.ts';
import type { DrawnNode, OpenFaults } from './flow-drawing.ts';

/** Font sizes in px: what a symbol says, and what stands beside it. */
export const FONT = { text: 14, small: 11.5 } as const;
export const LINE_HEIGHT = { text: 19, small: 16 } as const;
/** The narrow band of a measure, and the bars of a predefined process, in px. */
export const BAND_PADDING = 5;
export const BAR = 9;

export interface TextLine {
  readonly text: string;
  readonly style: 'text' | 'small';
  /** Baseline, from the top of the symbol. */
  readonly y: number;
}

export interface SizedNode {
  readonly node: DrawnNode;
  readonly width: number;
  readonly height: number;
  /** Room above the symbol for its head and its caution tab; 0 where it has neither. */
  readonly top: number;
  /** Number and name, left of the line that comes in from above. */
  readonly headLines: readonly TextLine[];
  /** Under the head: which faults are still possible. */
  readonly openLines: readonly TextLine[];
  /** Of a measure: height of the band. */
  readonly bandHeight: number;
  readonly bandLines: readonly TextLine[];
  readonly lines: readonly TextLine[];
}

export interface SizedLabel {
  readonly width: number;
  readonly height: number;
  readonly lines: readonly TextLine[];
}

const BOX_WIDTH = 250;
const PADDING = 12;

/** Size and lines of a symbol. */
export function measureNode(node: DrawnNode): SizedNode {
  if (node.symbol === 'decision') return measureDecision(node);
  const width = node.symbol === 'terminator' && !node.inColumn ? 210 : BOX_WIDTH;
  const { top, headLines, openLines } = measureHead(node, width);
  const inner = width - 2 * (PADDING + (node.symbol === 'predefined' ? BAR : node.symbol === 'terminator' ? 6 : 0));
  const bandWords = node.band ? wrapLine(node.band, width - 2 * PADDING, 'small') : [];
  const bandHeight = bandWords.length > 0 ? bandWords.length * LINE_HEIGHT.small + 2 * BAND_PADDING : 0;
  let y = top + bandHeight + PADDING;
  const lines: TextLine[] = [];
  for (const [style, paragraphs] of [['text', node.lines], ['small', node.details]] as const) {
    for (const [index, paragraph] of paragraphs.entries()) {
      if (style === 'text' && index > 0) y += 4;
      if (style === 'small' && index === 0) y += 4;
      for (const text of wrapLine(paragraph, inner, style)) {
        y += LINE_HEIGHT[style];
        lines.push({ text, style, y: y - baselineRise(style) });
      }
    }
  }
  return {
    node, width, height: y + PADDING, top, headLines, openLines, bandHeight, lines,
    bandLines: smallLines(bandWords, top + BAND_PADDING),
  };
}

/** Size and lines of what stands on a line; undefined where nothing does. Several results that lead one way stand below each other. */
export function measureLabel(labels: readonly string[]): SizedLabel | undefined {
  if (labels.length === 0) return undefined;
  const words = labels.flatMap((label, index) => wrapLine(index < labels.length - 1 ? `${label}, or` : label, 170, 'small'));
  const width = even(Math.max(...words.map((line) => textWidth(line, FONT.small))) + 12);
  return {
    width,
    height: words.length * LINE_HEIGHT.small + 6,
    lines: smallLines(words, 3),
  };
}

/** The flattest diamond in which the text, broken into even lines, fits between the edges at every height. */
function measureDecision(node: DrawnNode): SizedNode {
  const text = node.lines.join(' ');
  const longest = textWidth(harmlessLine(text), FONT.text);
  const width = even(Math.min(360, Math.max(BOX_WIDTH, longest + 120)));
  const { top, headLines, openLines } = measureHead(node, width);
  const small = wrapLine(node.details.join('; '), width * 0.5, 'small').filter(Boolean);
  for (let height = 76; ; height += 6) {
    for (let wide = width * 0.8; wide >= 60; wide -= 8) {
      const lines = fitInDiamond(wrapLine(text, wide, 'text'), small, width, height);
      if (!lines) continue;
      return {
        node, width, height: height + top, top, headLines, openLines, bandHeight: 0, bandLines: [],
        lines: lines.map((line) => ({ ...line, y: line.y + top })),
      };
    }
  }
}

/** The head takes the left half, so that the line from above never runs through it. */
function measureHead(node: DrawnNode, width: number): Pick<SizedNode, 'top' | 'headLines' | 'openLines'> {
  // An en space does not break, so the number never stands alone.
  const words = node.step === undefined ? [] : wrapLine(`${node.number ?? ''}\u2002${node.step}`, width / 2 - 12, 'small');
  const open = node.open ? wrapLine(openWords(node.open), width / 2 - 12, 'small') : [];
  const count = words.length + open.length;
  const top = count > 0 ? count * LINE_HEIGHT.small + 6 : node.signal ? 22 : 0;
  return { top, headLines: smallLines(words, 1), openLines: smallLines(open, 1 + words.length * LINE_HEIGHT.small) };
}

/** 'all 6 faults left', '2 of 6 left: A D', 'only D left'. */
function openWords({ of, letters }: OpenFaults): string {
  if (letters.length === of) return of === 1 ? 'only fault' : `all ${of} faults left`;
  if (letters.length === 1) return `only ${letters[0] ?? ''} left`;
  return letters.length === 0 ? 'no fault left' : `${letters.length} of ${of} left: ${letters.join(' ')}`;
}

/** The lines in the middle of the diamond; undefined where one of them would touch an edge. */
function fitInDiamond(texts: readonly string[], small: readonly string[], width: number, height: number): TextLine[] | undefined {
  let y = (height - texts.length * LINE_HEIGHT.text - small.length * LINE_HEIGHT.small) / 2;
  const lines: TextLine[] = [];
  for (const [style, some] of [['text', texts], ['small', small]] as const) {
    for (const text of some) {
      const farthest = Math.max(Math.abs(y + 3 - height / 2), Math.abs(y + LINE_HEIGHT[style] - 4 - height / 2));
      if (textWidth(text, FONT[style]) > width * (1 - (2 * farthest) / height) - 20) return undefined;
      y += LINE_HEIGHT[style];
      lines.push({ text, style, y: y - baselineRise(style) });
    }
  }
  return lines;
}

function wrapLine(text: string, width: number, style: 'text' | 'small'): string[] {
  return wrapText(bindUnits(harmlessLine(text).trim().replace(/ {2,}/g, ' ')), width, (part) => textWidth(part, FONT[style]));
}

function smallLines(texts: readonly string[], top: number): TextLine[] {
  return texts.map((text, index) => ({ text, style: 'small', y: top + (index + 1) * LINE_HEIGHT.small - baselineRise('small') }));
}

function baselineRise(style: 'text' | 'small'): number {
  return style === 'text' ? 5 : 4.5;
}

/** Halves stay whole, so that lines down the middle are not bent by rounding. */
function even(width: number): number {
  return 2 * Math.ceil(width / 2);
}
