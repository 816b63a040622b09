/** What was typed, understood or refused with a reason: readings, answers, facts. It judges nothing. */
import { understandEntry, type Entry } from '../quantity/entry.ts';
import { quantityWord } from '../quantity/quantity-words.ts';
import { lookUpUnit, type Unit } from '../quantity/unit.ts';
import type { FactSheet, StepSheet } from './checklist-document.ts';
import { understoodWords } from './limit-words.ts';
import { orList, plainWords, uncapitalised } from './texts.ts';
import type { Understood } from './walk-state.ts';

/** A reading of a `measure` step as typed. */
export function understandReading(sheet: StepSheet, typed: string): { readonly understood: Understood; readonly words: string } | { readonly problem: string } {
  const word = quantityWord(sheet.measures?.word ?? '');
  const entry = understandEntry(typed, { word, unit: unitOf(sheet), words: sheet.measures?.shows ?? [] });
  if (entry.problem !== undefined) return { problem: entry.problem };
  const understood = understoodEntry(entry);
  return { understood, words: understoodWords(understood) };
}

/** Answers that an `ask` step offers, as written. */
export function answerChoices(sheet: StepSheet): string[] {
  return sheet.results.map((result) => result.written);
}

/** An answer as typed, held against those that the step offers. */
export function understandAnswer(sheet: StepSheet, typed: string): { readonly understood: Understood; readonly words: string } | { readonly problem: string } {
  const choices = answerChoices(sheet);
  const match = choices.find((choice) => sameAnswer(choice, typed));
  if (match !== undefined) return { understood: { kind: 'word', word: match }, words: plainWords(match) };
  if (choices.length === 0 || choices.includes('otherwise')) {
    const text = typed.trim().replace(/\s+/g, ' ');
    return { understood: { kind: 'word', word: text }, words: text };
  }
  return { problem: `'${typed.trim()}' is none of the answers here: ${orList(choices.map(plainWords))}.` };
}

/** A fact as typed: one of its choices, or a quantity with its unit. `only` narrows the choices. */
export function understandFact(fact: FactSheet, typed: string, only: readonly string[] | undefined): { readonly text: string } | { readonly problem: string } {
  if (typed.trim() === '') return { problem: 'Nothing was entered.' };
  if (fact.choices.length > 0) {
    const choice = fact.choices.find((one) => sameAnswer(one, typed));
    if (choice === undefined) return { problem: `${fact.title} is ${orList(fact.choices.map(plainWords))}, never '${typed.trim()}'.` };
    if (only !== undefined && !only.includes(choice)) return { problem: `This procedure is for ${uncapitalised(fact.title)}: ${orList(only.map(plainWords))}.` };
    return { text: choice };
  }
  const word = quantityWord(fact.quantity ?? '');
  if (word === undefined) return { text: typed.trim() };
  const entry = understandEntry(typed, { word, unit: fact.unit ? lookUpUnit(fact.unit)?.unit : undefined });
  if (entry.problem !== undefined) return { problem: entry.problem };
  if (entry.quantity === undefined) return { problem: `${fact.title} is a number with a unit.` };
  return { text: understoodWords(understoodEntry(entry)).replace(/\u202f/g, ' ').replace(/\u2212/g, '-') };
}

/** The unit that a bare number is taken in. */
export function unitOf(sheet: StepSheet): Unit | undefined {
  const symbol = sheet.measures?.unit;
  return symbol ? lookUpUnit(symbol)?.unit : undefined;
}

function understoodEntry(entry: Entry): Understood {
  if (entry.quantity !== undefined) return { kind: 'quantity', quantity: entry.quantity };
  return entry.word !== undefined ? { kind: 'word', word: entry.word } : { kind: 'open' };
}

function sameAnswer(choice: string, typed: string): boolean {
  const plain = (text: string): string => text.normalize('NFC').trim().toLowerCase().replace(/[\s_]+/g, ' ').replace(/[.!]+$/, '');
  return plain(choice) === plain(typed);
}
