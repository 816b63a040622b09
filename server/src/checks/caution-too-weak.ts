import { loadCatalogue } from '../catalogue/load-catalogue.ts';
import type { Caution } from '../procedure/model.ts';
import type { Report } from '../findings/finding.ts';
import type { Scope } from '../procedure/scope.ts';
import { cautionUsesOf } from './caution-gaps.ts';
import type { Check } from './check.ts';
import { inSentence, words } from './edits.ts';

const LIFT = `procedure: bench_lift
title: Bench lift sinks
steps:
  - step: raise
    do: [Raise the hopper.]
    cautions:
      - signal: warning
        hazard: The hopper can come down.
        consequence: It could crush a foot and cause serious injury.
        avoid: Keep out from under it.
        covers: [raised_load]
  - step: look
    ask: Does it stay up?
    results:
      - when: yes
        passes: true
      - when: no
        refer: Test the valve.
`;

export const cautionTooWeak: Check = {
  name: 'caution-too-weak',
  severity: 'error',
  group: 'safety',
  proves: 'No caution covers a hazard under a signal word below the one that its injuries ask for.',
  why: "'Notice' over a danger of death tells the reader that nothing can happen to them.",
  source: 'ANSI Z535.4-2007 4.14.1 to 4.14.4 (signal words); the hazard asks for what the cautions of the catalogue or the shop give it',
  bad: LIFT.replace('signal: warning', 'signal: notice').replace('It could crush a foot and cause serious injury.', 'Paint may chip.'),
  good: LIFT,
  *run({ procedure, scope }) {
    const declaredHere = new Set(procedure.cautions.map((caution) => caution.name.value));
    for (const caution of procedure.cautions) yield* tooWeak(scope, caution, (caution.signal ?? caution.name).span, caution.name.value);
    const seen = new Set<string>();
    for (const { use, owner, step } of cautionUsesOf(procedure)) {
      if (use.kind === 'written') yield* tooWeak(scope, use.caution, (use.caution.signal ?? use.caution).span, `of '${owner}'`, step);
      else if (!declaredHere.has(use.name.value) && !seen.has(use.name.value)) {
        seen.add(use.name.value);
        const declared = scope.cautions.get(use.name.value);
        if (declared) yield* tooWeak(scope, declared.item, use.name.span, use.name.value, step);
      }
    }
  },
};

const RANKS = ['notice', 'caution', 'warning', 'danger'];

function* tooWeak(scope: Scope, caution: Caution, span: Caution['span'], name: string, step?: string): Generator<Report> {
  const signal = caution.signal?.value ?? '';
  const rank = RANKS.indexOf(signal);
  if (rank < 0) return;
  for (const { value: hazard } of caution.covers) {
    const needed = rankNeeded(scope, hazard, caution);
    // Danger or warning is the writer's to judge: 'will' or 'could'. Both speak of death and serious injury.
    if (needed === undefined || rank >= Math.min(needed, RANKS.indexOf('warning'))) continue;
    const title = inSentence(scope.hazards.get(hazard)?.item.title?.value ?? words(hazard));
    yield {
      span,
      subject: hazard,
      ...(step === undefined ? {} : { step }),
      message: `The caution ${name.startsWith('of ') ? name : `'${name}'`} says '${signal}' over a hazard that asks for '${RANKS[needed] ?? ''}': ${title}.`,
      note: 'Danger and warning are for death or serious injury, caution for minor or moderate injury, notice for property alone.',
      help: needed >= RANKS.indexOf('warning') ? 'Use danger where it will kill or maim, warning where it could, and say so in `consequence`.' : 'Use caution, and say in `consequence` what it does to a person.',
    };
    return;
  }
}

/** The least signal word under which the catalogue, or the shop where it declares the hazard itself, covers it. */
function rankNeeded(scope: Scope, hazard: string, own: Caution): number | undefined {
  const builtIn = loadCatalogue().cautions.filter((caution) => covers(caution, hazard));
  const shared = [...scope.cautions.values()].flatMap(({ item, origin }) => (origin === 'shop' && item !== own && covers(item, hazard) ? [item] : []));
  const ranks = (builtIn.length > 0 ? builtIn : shared).map((caution) => RANKS.indexOf(caution.signal?.value ?? '')).filter((rank) => rank >= 0);
  return ranks.length === 0 ? undefined : Math.min(...ranks);
}

function covers(caution: Caution, hazard: string): boolean {
  return caution.covers.some((name) => name.value === hazard);
}
