/** The parts of a file as a tree: what an editor shows as outline and breadcrumbs. */
import type { Analysis } from '../analysis/analysis.ts';
import type { Step } from '../procedure/model.ts';
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
  const titles = titlesIn(analysis);
  const sections: OutlineItem[] = [];
  for (const [kind, title] of SECTIONS) {
    const items = declared
      .filter(({ symbol }) => symbol.kind === kind)
      .map(({ symbol, span, whole }): OutlineItem => ({
        name: symbol.name,
        detail: titles.get(`${kind} ${symbol.name}`),
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
    detail: step.title?.value ?? step.question?.value ?? step.quantity?.value ?? step.run?.value ?? step.kind,
    kind: 'step',
    span: coverSpans(step.span, nameSpan),
    nameSpan,
    children: step.results.map((result): OutlineItem => ({
      name: result.when?.text ?? '(result without when)',
      detail: result.says?.value,
      kind: 'result',
      span: result.when ? coverSpans(result.span, result.when.span) : result.span,
      nameSpan: result.when?.span ?? { start: result.span.start, end: result.span.start },
      children: [],
    })),
  };
}

function titlesIn({ procedure, shop }: Analysis): ReadonlyMap<string, string> {
  const titles = new Map<string, string>();
  const add = (
    kind: SymbolKind,
    items: readonly { readonly name: { readonly value: string }; readonly title?: { readonly value: string } }[],
  ): void => {
    for (const { name, title } of items) if (title) titles.set(`${kind} ${name.value}`, title.value);
  };
  const shared = procedure ?? shop;
  add('state', shared?.states ?? []);
  add('circuit', shared?.circuits ?? []);
  add('instrument', shared?.instruments ?? []);
  add('hazard', shared?.hazards ?? []);
  add('fault', procedure?.faults ?? []);
  return titles;
}
