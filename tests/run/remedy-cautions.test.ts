/** The cautions of a remedy are in the checklist document and in what is shown when its fault is found. */
import { describe, expect, it } from 'vitest';
import { terminalStyle, viewText } from '../../server/src/edge/run-terminal-text.ts';
import { renderChecklistMarkdown } from '../../server/src/render/checklist-markdown.ts';
import { currentView } from '../../server/src/run/engine.ts';
import { begin, checklistOf, enter, ready } from './fixtures.ts';
import { HEAD } from './small.ts';

const procedure = (motor: string): string => `${HEAD.replace('remedy: Replace the motor.', `remedy: Remove the radiator cap.${motor}`)}
steps:
  - step: look
    ask: Does it hum?
    results: [{when: hums, finds: motor}, {when: silent, finds: fuse}]
`;

describe('a remedy', () => {
  const found = (text: string, answer: string): ReturnType<typeof currentView>['remedy'] => currentView(enter(ready(begin(checklistOf(text))), answer)).remedy;

  it('is shown with its cautions, the worst first, and who may do it', () => {
    const remedy = found(procedure(', cautions: [hot_surface, scalding_coolant], qualified: [electrical]'), 'hums');
    expect(remedy?.remedy).toBe('Remove the radiator cap.');
    expect(remedy?.cautions?.map(({ name, signal }) => `${signal} ${name}`)).toEqual(['warning scalding_coolant', 'caution hot_surface']);
    expect(remedy?.qualified?.map(({ name }) => name)).toEqual(['electrical']);
  });

  it('has none where none are given', () => {
    const remedy = found(procedure(''), 'silent');
    expect(remedy?.fault).toBe('fuse');
    expect(remedy).not.toHaveProperty('cautions');
    expect(remedy).not.toHaveProperty('qualified');
  });

  it('is shown so on a terminal, in both languages, and the cautions stand above the step on paper', () => {
    const text = procedure(', cautions: [scalding_coolant], qualified: [electrical]');
    const document = checklistOf(text);
    const view = currentView(enter(ready(begin(document)), 'hums'));
    const english = viewText(view, terminalStyle(80, false), false);
    expect(english).toMatch(/WARNING[^]*Only: [^]*Remove the radiator cap\./);
    const german = terminalStyle(80, false, 'de', document);
    expect(viewText(german.view(view), german, false)).toMatch(/WARNUNG[^]*Nur: [^]*Remove the radiator cap\./);
    expect(renderChecklistMarkdown(document)).toMatch(/WARNING[^]*Does it hum[^]*Remedy: Remove the radiator cap\. \(Only for: /);
  });
});
