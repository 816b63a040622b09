/**
 * Finds English that a page or a sheet in German still says: what the procedure says itself is taken away first, since it stays in its own
 * words; of what is left, words that are English and no German.
 */
import type { Page } from 'playwright-core';
import type { ChecklistDocument } from '../../server/src/run/checklist.ts';
import { plainWords } from '../../server/src/run/texts.ts';

/** Common English words, and those of the interface, that are no German words as well. */
const ENGLISH = new Set(`
  the is are were been be has have had does did not of and or with without for from by to into onto at it its this that these those which who whom what
  where when why how there here then than as if but only one two three all any each every other another more most less least above below between before after
  until while during again once only already yet still never always down over under out off up away back first last next
  step steps reading readings read result results limit limits fault faults found remedy repair repaired proved proof caution cautions hazard state states
  circuit asset assets record records finding check checklist procedure procedures run runs revision's begin begun end ended ending finish finished stop stopped
  resume  paused  handed note notes picture pictures photo instrument instruments calibrated calibration number unit units time wait waiting waited rest
  hold held release released people  second qualified tools wear machine bring brought about put set go going gone done take taken give given keep kept
  choose answer answers enter entered entry entries type typed judge judged measure measured meter probe probes write written save saved open opened close closed
  defect defects minor major dangerous draft withdrawn review applies apply approved complaint interval references sheet sheets page pages date initials signature
  possible rules leaves left remains passes passed referred carried later may must should will would can could use used driven safe unsafe
  sound light language bright sun black white larger keys touch device  file scan  scanned same text texts changed
  missing known unknown dead live neither nor nothing something anything else nobody someone
`.split(/\s+/).filter(Boolean));

const known = new WeakMap<ChecklistDocument, readonly RegExp[]>();

/** Each with the words that give it away; empty where nothing is left. */
export function englishLeft(lines: readonly string[], document: ChecklistDocument): string[] {
  const own = known.get(document) ?? ownTexts(document);
  known.set(document, own);
  return [...new Set(lines)].flatMap((line) => {
    const left = own.reduce((text, taken) => text.replace(taken, ' · '), line.normalize('NFC').replace(/[0-9a-f]{64}/g, '').replace(/\s+/g, ' '));
    const words = (left.match(/[A-Za-z']+/g) ?? []).filter((word) => ENGLISH.has(word.toLowerCase()));
    return words.length > 0 ? [`${words.join(', ')}: ${line.trim()}`] : [];
  });
}

/** Every text of a page, read or heard, shown or folded away. */
export function textsOf(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const found = [document.title];
    // What stands in several elements side by side is read with a pause between.
    const textOf = (element: Element): string => [...element.childNodes].map((node) => (node instanceof Element ? ` ${textOf(node)} ` : (node.textContent ?? ''))).join('');
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_ELEMENT);
    for (let element = walker.nextNode() as HTMLElement | null; element; element = walker.nextNode() as HTMLElement | null) {
      if (['SCRIPT', 'STYLE', 'NOSCRIPT'].includes(element.tagName)) continue;
      // A sentence may be in several pieces: what a person reads as one stands in one of these.
      const whole = ['P', 'LI', 'BUTTON', 'SUMMARY', 'LABEL', 'LEGEND', 'DT', 'DD', 'H1', 'H2', 'H3', 'OPTION', 'SPAN'].includes(element.tagName);
      if (whole && element.querySelector('p, li, button, label, div, dl') === null) found.push(textOf(element));
      for (const name of ['aria-label', 'title', 'alt', 'placeholder']) found.push(element.getAttribute(name) ?? '');
    }
    return found.filter((text) => text.trim() !== '');
  });
}

const TEXTS = ['title', 'text', 'why', 'note', 'question', 'says', 'words', 'complaint', 'hazard', 'consequence', 'avoid', 'remedy', 'place', 'from', 'photo', 'figure', 'is', 'shop', 'interval', 'by', 'because', 'message', 'decide', 'category', 'sheet'];
const LISTS = ['actions', 'do', 'wear', 'tools', 'onlyIf'];
const NAMES = ['name', 'probe', 'to', 'id', 'value', 'fact', 'state'];
const NAME_LISTS = ['values', 'choices', 'assets', 'shows'];

/** What the procedure says, the longest first, as patterns that find it wherever it stands. */
function ownTexts(document: ChecklistDocument): RegExp[] {
  const texts = new Set<string>();
  const add = (text: string): void => {
    // A text with names in braces is shown with their values.
    for (const part of [text, ...text.split(/[\n]|(?<=[.?])\s/)].flatMap((one) => one.split(/\{[^}]*\}/))) {
      const plain = part.replace(/^[\s.,;:]+|[\s.]+$/g, '');
      if (plain.length > 1) texts.add(plain.replace(/\s+/g, ' '));
    }
  };
  const visit = (value: unknown, ask: boolean): void => {
    if (Array.isArray(value)) return value.forEach((one) => visit(one, ask));
    if (typeof value !== 'object' || value === null) return;
    const fields = value as Readonly<Record<string, unknown>>;
    const isAsk = ask || fields['kind'] === 'ask';
    for (const [key, one] of Object.entries(fields)) {
      // Of the checklist's own: never taken away.
      if (['measures', 'closing', 'remarks', 'program'].includes(key) && key !== 'program') {
        visit(key === 'measures' ? { shows: (one as { shows?: unknown }).shows } : undefined, false);
        continue;
      }
      if (key === 'program') continue;
      if (typeof one === 'string') {
        if (TEXTS.includes(key)) add(one);
        if (NAMES.includes(key)) [one, plainWords(one)].forEach(add);
        if (isAsk && (key === 'when' || key === 'written') && !['yes', 'no', 'otherwise'].includes(one)) [one, plainWords(one)].forEach(add);
        // Names in a limit are the procedure's.
        if (key === 'when' || key === 'seek') for (const name of one.match(/\b[a-z][a-z0-9]*_[a-z0-9_]+\b/g) ?? []) [name, plainWords(name)].forEach(add);
      } else if (Array.isArray(one) && LISTS.includes(key)) one.forEach((text) => typeof text === 'string' && add(text));
      else if (Array.isArray(one) && NAME_LISTS.includes(key)) one.forEach((text) => typeof text === 'string' && [text, plainWords(text)].forEach(add));
      visit(one, isAsk && key === 'results');
    }
  };
  visit(document, false);
  // Names of units, of what a record is called, and of the tool.
  ['OL', 'record.json'].forEach(add);
  return [...texts].sort((one, other) => other.length - one.length).map((text) => new RegExp(`(?<![A-Za-z])${text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')}(?![A-Za-z])`, 'giu'));
}
