/** What in a procedure leads to another file: procedures it runs, figures it shows. */
import type { Analysis } from '../analysis/analysis.ts';
import type { Span } from '../text/span.ts';
import { allSteps } from './symbols.ts';
import type { Library } from './symbols.ts';
import { ENGLISH, type FeatureWords } from './words-english.ts';

export interface Link {
  readonly span: Span;
  /** The key of the file it leads to. */
  readonly file: string;
  readonly tooltip: string;
}

export function linksIn(library: Library, { procedure, file }: Analysis, words: FeatureWords = ENGLISH): Link[] {
  if (!procedure) return [];
  const links: Link[] = [];
  const toProcedure = (name: { readonly value: string; readonly span: Span } | undefined): void => {
    const target = name && library.fileOfProcedure(name.value, file);
    if (name && target !== undefined) links.push({ span: name.span, file: target, tooltip: words.link.procedure(name.value) });
  };
  for (const step of allSteps(procedure)) {
    toProcedure(step.run);
    const figure = step.figure;
    if (figure && !/^[a-z][a-z0-9+.-]*:|^[/\\]/i.test(figure.value) && figure.value !== '') {
      links.push({
        span: figure.span,
        file: `${file.slice(0, file.lastIndexOf('/') + 1)}${figure.value}`,
        tooltip: words.link.figure,
      });
    }
  }
  for (const fault of procedure.faults) toProcedure(fault.procedure);
  return links;
}
