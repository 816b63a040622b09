/** A review as one HTML page. Everything a writer wrote is escaped. */
import type { Comparison } from '../review/change.ts';
import { bindUnits } from './bind-units.ts';
import { escapeMarkup } from './markup.ts';
import { plainPage, PLAIN_PAGE_STYLE } from './plain-page.ts';
import { REVIEW_CLOSING, reviewIdentity, reviewSections, type ReviewItem, type ReviewSection } from './review-words.ts';

/** The comparisons as a whole HTML document. `since` says what the texts are compared with: 'revision HEAD'. */
export function renderReviewHtml(comparisons: readonly Comparison[], since: string): string {
  const single = comparisons.length === 1 ? comparisons[0] : undefined;
  const title = single ? `Review: ${(single.after ?? single.before)?.title ?? ''}` : 'Review of changes';
  const body = [
    '<main>',
    single ? '' : `<h1>Review of changes</h1><p class="identity">${escape(comparisons.length === 0 ? `Nothing has changed that bears on a procedure, compared with ${since}.` : `${comparisons.length} files, compared with ${since}.`)}</p>`,
    ...comparisons.map((comparison) => article(comparison, single === undefined)),
    `<footer><p>${escape(REVIEW_CLOSING)}</p></footer>`,
    '</main>',
  ];
  return plainPage({ title, body: body.filter((part) => part !== '').join('\n'), style: `${PLAIN_PAGE_STYLE}\n${STYLE}` });
}

function article(comparison: Comparison, several: boolean): string {
  const [heading, level] = several ? ['h2', 3] : ['h1', 2];
  return [
    '<article>',
    `<${heading} class="file">${escape((comparison.after ?? comparison.before)?.title ?? '')}</${heading}>`,
    `<p class="identity">${escape(reviewIdentity(comparison))}</p>`,
    ...reviewSections(comparison).map((section) => sectionMarkup(section, level as 2 | 3)),
    '</article>',
  ].join('\n');
}

function sectionMarkup({ title, items }: ReviewSection, level: 2 | 3): string {
  return `<section><h${level}>${escape(title)}</h${level}><ul class="items">${items.map(itemMarkup).join('')}</ul></section>`;
}

function itemMarkup({ tone, sentence, check, walk, before, after }: ReviewItem): string {
  const under = (name: string, text: string | undefined): string => (text === undefined ? '' : `<div class="under"><dt>${name}</dt><dd>${escape(text)}</dd></div>`);
  const details = under('Walk', walk) + under('Before', before) + under('Now', after);
  return `<li class="${tone}">${escape(sentence)}${check === undefined ? '' : ` <span class="check">${escape(check)}</span>`}${details === '' ? '' : `<dl>${details}</dl>`}</li>`;
}

function escape(text: string): string {
  return escapeMarkup(bindUnits(text)).replace(/`([^`]*)`/gu, '<code>$1</code>');
}

const STYLE = `
.identity + article, article + article { margin-top: 3rem; border-top: 1px solid var(--line); padding-top: 1.5rem; }
.file { font-size: 1.5rem; line-height: 1.2; margin: 0; }
h3 { font-size: 1rem; margin: 1.5rem 0 0.5rem; }
.items { list-style: none; padding: 0; }
.items li { border-top: 1px solid var(--line); padding: 0.5rem 0; max-width: 52rem; }
.items .risk, .items .gain { border-left: 4px solid; padding-left: 0.75rem; }
.items .risk { border-left-color: var(--risk); } .items .gain { border-left-color: var(--gain); }
code { font-family: ui-monospace, "DejaVu Sans Mono", monospace; font-size: 0.9em; }
.check { color: var(--quiet); font-size: 0.875rem; }
dl { margin: 0.25rem 0 0; font-size: 0.875rem; color: var(--quiet); }
.under { display: flex; gap: 0.75rem; } dt { flex: none; width: 3.5rem; } dd { margin: 0; }
`.trim();
