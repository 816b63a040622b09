/** The parts of a file as a tree: what an editor shows as outline and breadcrumbs. */
import type { Analysis } from '../analysis/analysis.ts';
import type { Step, WayOn } from '../procedure/model.ts';
import type { Span } from '../text/span.ts';
import { coverSpans } from '../text/span.ts';
import { allSteps, declarationsIn } from './symbols.ts';
import type { SymbolKind } from './symbols.ts';

export interface OutlineItem {
  readonly name: string;
  readonly detail?: string;
  readonly kind: SymbolKind | 'section' | 'result';
  readonly span: Span;
  readonly nameSpan: Span;
  readonly children: readonly OutlineItem[];
}

const SECTIONS: readonly [SymbolKind, string][] = [
  ['reference', 'references'],
  ['fact', 'facts'],
  ['state', 'states'],
  ['circuit', 'circuits'],
  ['instrument', 'instruments'],
  ['hazard', 'hazards'],
  ['caution', 'cautions'],
  ['qualification', 'qualifications'],
  ['value', 'values'],
  ['fault', 'faults'],
  ['asset', 'assets'],
];

export function outlineOf(analysis: Analysis): OutlineItem[] {
  const { procedure } = analysis;
  const declared = declarationsIn(analysis);
  const details = detailsIn(analysis);
  const sections: OutlineItem[] = [];
  for (const [kind, title] of SECTIONS) {
    const items = declared
      .filter(({ symbol }) => symbol.kind === kind)
      .map(({ symbol, span, whole }): OutlineItem => ({
        name: symbol.name,
        detail: details.get(`${kind} ${symbol.name}`),
        kind,
        span: whole ? coverSpans(whole, span) : span,
        nameSpan: span,
        children: [],
      }));
    if (items.length > 0) sections.push(section(analysis, title, items));
  }
  if (procedure) {
    for (const [title, name] of [
      ['steps', 'steps'],
      ['after_repair', 'after_repair'],
    ] as const) {
      const steps = allSteps(procedure)
        .filter((step) => step.section === name)
        .map(stepItem);
      if (steps.length > 0) sections.push(section(analysis, title, steps));
    }
  }
  return sections.sort((a, b) => a.span.start - b.span.start);
}

function section({ tree, text }: Analysis, name: string, items: readonly OutlineItem[]): OutlineItem {
  const children = items.map((item) => trimmed(item, text));
  const inside = children.map((child) => child.span).reduce(coverSpans);
  const key = tree?.kind === 'map' ? tree.entries.find((entry) => entry.key.text === name)?.key.span : undefined;
  return {
    name,
    kind: 'section',
    span: key ? coverSpans(key, inside) : inside,
    nameSpan: key ?? { start: inside.start, end: inside.start },
    children,
  };
}

/** A block in YAML runs up to where the next begins; a reader takes it to end with its last word. */
function trimmed(item: OutlineItem, text: string): OutlineItem {
  let end = item.span.end;
  while (end > item.nameSpan.end && /\s/.test(text[end - 1] ?? '')) end--;
  return { ...item, span: { start: item.span.start, end }, children: item.children.map((child) => trimmed(child, text)) };
}

function stepItem(step: Step): OutlineItem {
  const nameSpan = step.name?.span ?? { start: step.span.start, end: step.span.start };
  return {
    name: step.name?.value ?? '(step without a name)',
    detail: step.title?.value ?? step.question?.value ?? step.quantity?.value.replaceAll('_', ' ') ?? step.decide?.text ?? step.run?.value ?? step.actions[0]?.value,
    kind: 'step',
    span: coverSpans(step.span, nameSpan),
    nameSpan,
    children: step.results.map((result): OutlineItem => ({
      name: result.when?.text ?? '(result without when)',
      detail: result.says?.value ?? wayText(result.way),
      kind: 'result',
      span: result.when ? coverSpans(result.span, result.when.span) : result.span,
      nameSpan: result.when?.span ?? { start: result.span.start, end: result.span.start },
      children: [],
    })),
  };
}

function wayText(way: WayOn): string | undefined {
  switch (way.kind) {
    case 'go':
      return `go on with ${way.step.value}`;
    case 'finds':
      return `finds ${way.fault.value}`;
    case 'by_elimination':
      return `finds ${way.fault.value}, as the only one left`;
    case 'refer':
      return way.text.value;
    case 'passes':
      return 'passes';
    case 'next':
      return undefined;
  }
}

/** A few words beside each name: what a reader would look it up for. */
function detailsIn({ procedure, shop, assets }: Analysis): ReadonlyMap<string, string> {
  const details = new Map<string, string>();
  const add = <T>(kind: SymbolKind, items: readonly T[] | undefined, name: (item: T) => string, detail: (item: T) => string | undefined): void => {
    for (const item of items ?? []) {
      const text = detail(item);
      if (text !== undefined && text !== '') details.set(`${kind} ${name(item)}`, text);
    }
  };
  const shared = procedure ?? shop;
  const named = (item: { readonly name: { readonly value: string } }): string => item.name.value;
  const titled = (item: { readonly title?: { readonly value: string } }): string | undefined => item.title?.value;
  add('state', shared?.states, named, titled);
  add('circuit', shared?.circuits, named, titled);
  add('instrument', shared?.instruments, named, titled);
  add('hazard', shared?.hazards, named, titled);
  add('qualification', shared?.qualifications, named, titled);
  add('caution', shared?.cautions, named, ({ signal, hazard }) => [signal?.value.toUpperCase(), hazard?.value].filter(Boolean).join(': '));
  add('value', shared?.values, named, ({ is }) => is?.value.text);
  add('fault', procedure?.faults, named, titled);
  add('fact', procedure?.facts, named, ({ title, quantity, choices }) =>
    title?.value ?? quantity?.value.replaceAll('_', ' ') ?? choices?.map((choice) => choice.value).join(', '));
  add('reference', procedure?.references, ({ id }) => id.value, titled);
  add('asset', assets?.assets, ({ id }) => id.value, ({ facts }) => facts.find(({ name }) => name.value === 'equipment')?.value.value.replaceAll('_', ' '));
  return details;
}
