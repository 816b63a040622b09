/**
 * The flow drawing as SVG text. Colours are CSS variables with defaults for light and dark, so that whoever shows it can set
 * them: --flow-ink, --flow-faint, --flow-paper, --flow-box, --flow-band, --flow-line, --flow-focus, --flow-font; where they are
 * not set, an editor's panel gives its theme. The group of a step carries `data-step`, its name, and can be reached by keyboard;
 * `data-way` marks a line. A step that carries the class `current` is marked.
 */
import type { DrawnNode, OpenFaults } from './flow-drawing.ts';
import type { FlowLayout, PlacedEdge } from './flow-layout.ts';
import type { PlacedNode, Point } from './flow-rows.ts';
import { BAR, FONT, LINE_HEIGHT } from './flow-sizes.ts';
import type { TextLine } from './flow-sizes.ts';
import { harmlessLine } from './harmless-text.ts';
import { escapeMarkup } from './markup.ts';
import { SIGNAL_COLOURS } from './signal-colours.ts';
import { textWidth } from './text-metrics.ts';

export interface FlowSvgOptions {
  /** False where the page brings FLOW_STYLE itself, as a strict content policy wants it. */
  readonly embedStyle?: boolean;
  /** False leaves out title and subtitle above the drawing. */
  readonly heading?: boolean;
}

const MARGIN = 24;
const READING = 'The steps run straight down in the order of writing; ways off leave to the right, ways back to the left.';

/** Name, the editor's theme variable, light and dark defaults. */
const COLOURS = [
  ['ink', 'editor-foreground', '#1c2126', '#e4e7ea'],
  ['faint', 'descriptionForeground', '#59626b', '#a9b1b9'],
  ['paper', 'editor-background', '#ffffff', '#1a1d21'],
  ['box', 'editor-background', '#ffffff', '#23272c'],
  ['band', 'editorWidget-background', '#e8edf2', '#333a42'],
  ['line', 'descriptionForeground', '#48525c', '#9aa4ae'],
  ['focus', 'focusBorder', '#005fb8', '#6cb6ff'],
] as const;

function variables(scheme: 'light' | 'dark'): string {
  return COLOURS.map(([name, theme, light, dark]) =>
    `--${name}: var(--flow-${name}, var(--vscode-${theme}, ${scheme === 'light' ? light : dark}));`).join(' ');
}

/** The style of the drawing, for pages that bring it themselves. */
export const FLOW_STYLE = `
.flow-drawing { ${variables('light')}
  font-family: var(--flow-font, var(--vscode-font-family, Helvetica, Arial, "Liberation Sans", sans-serif)); font-variant-numeric: tabular-nums; }
@media (prefers-color-scheme: dark) { .flow-drawing { ${variables('dark')} } }
.flow-drawing .paper { fill: var(--paper); }
.flow-drawing text { fill: var(--ink); font-size: ${FONT.text}px; }
.flow-drawing .small, .flow-drawing .way text { font-size: ${FONT.small}px; }
.flow-drawing .head, .flow-drawing .small { fill: var(--faint); font-size: ${FONT.small}px; }
.flow-drawing .open, .flow-drawing .legend { font-size: ${FONT.small}px; }
.flow-drawing .title { font-size: 18px; font-weight: bold; }
.flow-drawing .shape { fill: var(--box); stroke: var(--line); stroke-width: 1.5; }
.flow-drawing .start .shape, .flow-drawing .passes .shape, .flow-drawing .refer .shape { fill: var(--band); }
.flow-drawing .finds .shape { stroke: var(--ink); stroke-width: 2.5; }
.flow-drawing .nowhere .shape { stroke-dasharray: 5 4; }
.flow-drawing .band { fill: var(--band); stroke: var(--line); stroke-width: 1; }
.flow-drawing .bar { stroke: var(--line); stroke-width: 1.5; }
.flow-drawing .way path { fill: none; stroke: var(--line); stroke-width: 1.5; stroke-linejoin: round; }
.flow-drawing .way.over path { stroke-dasharray: 5 4; }
.flow-drawing .label { fill: var(--paper); }
.flow-drawing .arrow { fill: var(--line); }
.flow-drawing .step { cursor: pointer; outline: none; }
.flow-drawing .step:hover .shape, .flow-drawing .step:focus-visible .shape, .flow-drawing .step.current .shape {
  stroke: var(--focus); stroke-width: 3; }
.flow-drawing .tab text { font-size: 10.5px; font-weight: bold; letter-spacing: 0.04em; }
${Object.entries(SIGNAL_COLOURS).map(([word, { ground, ink }]) =>
  `.flow-drawing .${word} rect { fill: ${ground}; } .flow-drawing .${word} text { fill: ${ink}; }`).join('\n')}
@media (forced-colors: active) {
  .flow-drawing { --ink: CanvasText; --faint: CanvasText; --line: CanvasText; --focus: Highlight;
    --paper: Canvas; --box: Canvas; --band: Canvas; }
  .flow-drawing .tab rect { forced-color-adjust: none; } .flow-drawing .tab text { forced-color-adjust: none; }
}
`.trim();

/** The drawing as one SVG element, with a line break at its end. */
export function renderFlowSvg(layout: FlowLayout, options: FlowSvgOptions = {}): string {
  const { title, subtitle } = layout.drawing;
  const heading = options.heading ?? true;
  const above = heading ? 58 : 0;
  const least = heading ? textWidth(title, 18, 'bold') : 0;
  const legend = legendLines(layout);
  const width = Math.ceil(Math.max(layout.width, least, ...legend.map((line) => textWidth(line, FONT.small))) + 2 * MARGIN);
  const bottom = layout.height + 2 * MARGIN + above;
  const height = Math.ceil(bottom + (legend.length > 0 ? legend.length * LINE_HEIGHT.small + MARGIN : 0));
  return [
    element('svg', {
      xmlns: 'http://www.w3.org/2000/svg', class: 'flow-drawing', role: 'graphics-document document',
      'aria-labelledby': 'flow-title flow-desc', viewBox: `0 0 ${width} ${height}`, width, height,
    }).replace('/>', '>'),
    `<title id="flow-title">${escapeMarkup(title)}: flow</title>`,
    `<desc id="flow-desc">${escapeMarkup(`Flow of the procedure, ${subtitle}. ${READING}`)}</desc>`,
    options.embedStyle === false ? '' : `<style>${FLOW_STYLE}</style>`,
    '<defs><marker id="flow-arrow" viewBox="0 0 10 10" refX="9" refY="5" markerWidth="8" markerHeight="8" orient="auto">',
    '<path class="arrow" d="M0 1 L9 5 L0 9 Z"/></marker></defs>',
    `<rect class="paper" width="${width}" height="${height}"/>`,
    heading ? element('text', { class: 'title', x: MARGIN, y: MARGIN + 16 }, escapeMarkup(title)) : '',
    heading ? element('text', { class: 'head', x: MARGIN, y: MARGIN + 36 }, escapeMarkup(subtitle)) : '',
    `<g transform="translate(${MARGIN} ${MARGIN + above})">`,
    ...layout.edges.map(wayLine),
    ...layout.nodes.map((node) => symbol(node, layout)),
    ...layout.edges.map(wayLabel),
    '</g>',
    ...legend.map((line, index) => element('text', { class: 'legend', x: MARGIN, y: bottom + (index + 1) * LINE_HEIGHT.small - 4.5 }, escapeMarkup(line))),
    '</svg>',
    '',
  ].filter((line, index, all) => line !== '' || index === all.length - 1).join('\n');
}

/** What the letters stand for, a line each. */
function legendLines({ drawing }: FlowLayout): string[] {
  const { faults } = drawing;
  if (faults === undefined) return [];
  return ['Faults, by their letters above each step as long as some walk to it has not excluded them:', ...faults.map(({ letter, title }) => `${letter}\u2002${harmlessLine(title)}`)];
}

function wayLine({ edge, points }: PlacedEdge): string {
  const path = points.map((point, index) => `${index === 0 ? 'M' : 'L'}${at(point)}`).join(' ');
  const classes = `way ${edge.course}${edge.passedOver ? ' over' : ''}`;
  return element('g', { class: classes, 'data-way': edge.id, 'aria-hidden': 'true' }, element('path', { d: path, 'marker-end': 'url(#flow-arrow)' }));
}

function wayLabel({ edge, label }: PlacedEdge): string {
  if (!label) return '';
  const middle = label.x + label.width / 2;
  const { x, y, width, height, lines } = label;
  const ground = element('rect', { class: 'label', x, y, width, height });
  const texts = lines.map((line) => element('text', { x: middle, y: y + line.y, 'text-anchor': 'middle' }, escapeMarkup(line.text)));
  return element('g', { class: 'way', 'data-way': edge.id, 'aria-hidden': 'true' }, [ground, ...texts].join(''));
}

function symbol(placed: PlacedNode, layout: FlowLayout): string {
  const { node, x, y, width, top } = placed;
  const classes = ['symbol', node.symbol, node.ending, node.step === undefined ? undefined : 'step'].filter(Boolean).join(' ');
  const reach: Record<string, string | number> = node.step === undefined ? {} : { 'data-step': node.step, tabindex: 0 };
  const parts = [
    shape(placed),
    ...placed.bandLines.map((line) => textAt(line, width / 2)),
    ...placed.lines.map((line) => textAt(line, width / 2)),
    ...placed.headLines.map((line) => element('text', { class: 'head', x: 0, y: line.y }, escapeMarkup(line.text))),
    ...placed.openLines.map((line) => element('text', { class: 'open', x: 0, y: line.y }, escapeMarkup(line.text))),
    node.signal ? tab(node.signal, width, top) : '',
  ];
  const where = `translate(${round(x)} ${round(y)})`;
  return element(
    'g', { class: classes, ...reach, role: 'graphics-symbol img', 'aria-label': spoken(node, layout), transform: where }, parts.join(''),
  );
}

function shape({ node, width, height, top, bandHeight }: PlacedNode): string {
  const tall = height - top;
  const box = { width, height: tall, y: top };
  switch (node.symbol) {
    case 'decision':
      return element('path', { class: 'shape', d: diamond(width, top, height) });
    case 'terminator':
      return element('rect', { class: 'shape', ...box, rx: Math.min(tall / 2, 24) });
    case 'predefined':
      return element('rect', { class: 'shape', ...box })
        + element('path', { class: 'bar', d: `M${BAR} ${top} V${round(height)} M${round(width - BAR)} ${top} V${round(height)}` });
    case 'measure':
      return element('rect', { class: 'shape', ...box }) + element('rect', { class: 'band', ...box, height: bandHeight });
    default:
      return element('rect', { class: 'shape', ...box });
  }
}

/** The signal word on a small tab at the right upper corner of its step. */
function tab(signal: NonNullable<DrawnNode['signal']>, width: number, top: number): string {
  const word = signal.toUpperCase();
  const wide = textWidth(word, 10.5, 'bold') + word.length * 0.5 + 12;
  const ground = element('rect', { x: width - wide, y: top - 18, width: wide, height: 17 });
  const text = element('text', { x: width - wide / 2, y: top - 5.5, 'text-anchor': 'middle' }, word);
  return element('g', { class: `tab ${signal}` }, ground + text);
}

function textAt(line: TextLine, x: number): string {
  return element('text', { ...(line.style === 'small' ? { class: 'small' } : {}), x, y: line.y, 'text-anchor': 'middle' }, escapeMarkup(line.text));
}

/** What a screen reader says of a symbol: what it is, what it says, where it leads. */
function spoken(node: DrawnNode, layout: FlowLayout): string {
  const kind = SPOKEN_KINDS[node.ending === 'start' ? 'start' : node.symbol];
  const ways = layout.drawing.edges.filter((edge) => edge.from === node.id).map((edge) => {
    const target = layout.drawing.nodes.find(({ id }) => id === edge.to);
    const where = target?.step === undefined ? target?.lines.join(' ') : `step ${target.number ?? ''}, ${target.step}`;
    return `${edge.labels.length > 0 ? `${edge.labels.join(', or ')}: ` : 'then '}${where ?? ''}`;
  });
  return [
    node.step === undefined ? undefined : `Step ${node.number ?? ''}, ${node.step}.`,
    node.signal ? `${node.signal.toUpperCase()}.` : undefined,
    `${kind}: ${[node.band, ...node.lines, ...node.details].filter(Boolean).join('. ')}`,
    node.open ? spokenOpen(node.open) : undefined,
    ...ways,
  ].filter(Boolean).join(' ');
}

function spokenOpen({ of, titles }: OpenFaults): string {
  if (titles.length === of) return `All ${of} faults are still possible here.`;
  return `Still possible here: ${titles.join(', ') || 'no fault'}.`;
}

const SPOKEN_KINDS = {
  start: 'Start', terminator: 'Ending', process: 'Do', decision: 'Question', measure: 'Measure', predefined: 'Procedure',
} as const;

/** An element with its attributes escaped and its numbers short; `content` is markup. */
function element(name: string, attributes: Readonly<Record<string, string | number>>, content?: string): string {
  const written = Object.entries(attributes).map(([key, value]) => ` ${key}="${typeof value === 'number' ? round(value) : escapeMarkup(value)}"`);
  return `<${name}${written.join('')}${content === undefined ? '/>' : `>${content}</${name}>`}`;
}

/** The outline of a decision between the heights `top` and `bottom`. */
function diamond(width: number, top: number, bottom: number): string {
  const middle = (top + bottom) / 2;
  const corners = [{ x: width / 2, y: top }, { x: width, y: middle }, { x: width / 2, y: bottom }, { x: 0, y: middle }];
  return `M${corners.map(at).join(' L')} Z`;
}

function at({ x, y }: Point): string {
  return `${round(x)} ${round(y)}`;
}

function round(number: number): string {
  return String(Math.round(number * 10) / 10);
}
