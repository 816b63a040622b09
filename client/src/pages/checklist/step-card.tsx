/** The step at hand, from the top: states, instruction, where the probes go. Cautions stand above it, its field below. */
import type { FieldView, NeedView, StepView } from '../../../../server/src/run/engine.ts';
import { durationWords, plainName, sentence, tied, WORDS } from './words.ts';

/** States that must hold, and how to bring about those that do not. */
export function States({ needs, during }: { readonly needs: readonly NeedView[]; readonly during: readonly string[] }) {
  if (needs.length === 0 && during.length === 0) return null;
  return (
    <section class="states" id="states" tabIndex={-1} aria-labelledby={needs.length > 0 ? 'states-title' : 'during-title'}>
      {needs.length > 0 && <h3 id="states-title">{WORDS.statesTitle}</h3>}
      {needs.length > 0 && (
        <ul class="lines">
          {needs.map((need) => (
            <li key={need.state} class={need.holds === 'yes' ? 'holds' : 'to-do'}>
              <strong>{sentence(need.words)}</strong>
              <span class="quiet"> — {need.holds === 'yes' ? WORDS.stateHolds : WORDS.stateToDo}</span>
              {need.holds !== 'yes' && <HowTo need={need} />}
            </li>
          ))}
        </ul>
      )}
      {during.length > 0 && (
        <>
          <h3 id="during-title">{WORDS.duringTitle}</h3>
          <ul class="lines">
            {during.map((line) => (
              <li key={line}>
                <strong>{sentence(line)}</strong>
              </li>
            ))}
          </ul>
        </>
      )}
    </section>
  );
}

/** The actions that bring a state to a value, for each value that says how. */
export function HowTo({ need }: { readonly need: Pick<NeedView, 'changes' | 'state'> }) {
  return (
    <>
      {need.changes.map((change) => (
        <div key={change.to} class="how-to">
          {need.changes.length > 1 && <p>{sentence(WORDS.howTo(plainName(need.state), plainName(change.to)))}</p>}
          <ol>
            {change.do.map((action) => (
              <li key={action}>{action}</li>
            ))}
          </ol>
        </div>
      ))}
    </>
  );
}

/** What to do, and with what. */
export function Instruction({ step, figure }: { readonly step: StepView; readonly figure: string | undefined }) {
  return (
    <section class="instruction" id="instruction" tabIndex={-1} aria-labelledby="step-title">
      {step.question && <p class="question">{step.question}</p>}
      {step.quantity && <p class="question">{tied(WORDS.measure(step.quantity))}</p>}
      {step.actions.length === 1 && <p class="question">{step.actions[0]}</p>}
      {step.actions.length > 1 && (
        <ol class="actions">
          {step.actions.map((action, index) => (
            <li key={index}>{action}</li>
          ))}
        </ol>
      )}
      {step.text && <p>{step.text}</p>}
      <Circumstances step={step} />
      {step.figure && figure && (
        <figure class="figure" data-test="figure">
          <img src={figure} alt={WORDS.figureOf(step.title)} />
        </figure>
      )}
      {step.figure && !figure && (
        <p class="quiet" data-test="figure-missing">
          {WORDS.figureMissing(step.figure)}
        </p>
      )}
      {step.probes.length > 0 && <Probes title={WORDS.probesTitle} probes={step.probes} />}
      {step.points.length > 0 && <Points step={step} />}
      {step.note && (
        <p>
          <span class="quiet">{WORDS.note}: </span>
          {step.note}
        </p>
      )}
      {step.why && (
        <details class="why">
          <summary>{WORDS.why}</summary>
          <p>{step.why}</p>
        </details>
      )}
    </section>
  );
}

function Circumstances({ step }: { readonly step: StepView }) {
  const lines: [string, string][] = [];
  if (step.instrument) {
    lines.push([
      WORDS.with,
      [
        step.instrument.title,
        step.instrument.category && tied(step.instrument.category),
        step.instrument.number && WORDS.instrumentKnown(step.instrument.number),
        step.instrument.calibratedUntil &&
          (step.instrument.calibration === 'overdue' ? WORDS.calibrationOver : WORDS.calibratedUntil)(
            step.instrument.calibratedUntil,
          ),
      ]
        .filter(Boolean)
        .join(', '),
    ]);
  }
  if (step.circuit) {
    const { title, nominal, category, condition } = step.circuit;
    lines.push([
      WORDS.circuit,
      `${[title, tied(nominal ?? ''), tied(category ?? '')].filter(Boolean).join(', ')}: ${WORDS.conditions[condition]}`,
    ]);
  }
  if (step.tools.length > 0) lines.push([WORDS.tools, step.tools.join(', ')]);
  if (step.qualified.length > 0)
    lines.push([WORDS.who, `${WORDS.qualified}: ${step.qualified.map((one) => one.title).join(', ')}`]);
  if (step.expectedSeconds) lines.push([WORDS.time, WORDS.expected(durationWords(step.expectedSeconds))]);
  if (lines.length === 0) return null;
  return (
    <dl class="circumstances">
      {lines.map(([term, words]) => (
        <div key={term}>
          <dt>{term}</dt>
          <dd>{words}</dd>
        </div>
      ))}
    </dl>
  );
}

function Probes({ title, probes }: { readonly title: string; readonly probes: StepView['probes'] }) {
  return (
    <div class="probes">
      <h3>{title}</h3>
      <dl class="circumstances">
        {probes.map((probe) => (
          <div key={probe.probe}>
            <dt>{sentence(plainName(probe.probe))}</dt>
            <dd>{probe.place}</dd>
          </div>
        ))}
      </dl>
    </div>
  );
}

function Points({ step }: { readonly step: StepView }) {
  return (
    <div class="points">
      <h3>{step.kind === 'ask' ? WORDS.answerPointsTitle : WORDS.pointsTitle}</h3>
      <ol>
        {step.points.map((point) => (
          <li key={point.name} aria-current={point.current ? 'step' : undefined}>
            <span class="point-title">{point.title}</span>
            {point.probes.map((probe) => (
              <span key={probe.probe} class="quiet">
                {plainName(probe.probe)}: {probe.place}
              </span>
            ))}
            <span class={point.typed === undefined ? 'quiet' : 'number'}>
              {point.understood ?? point.typed ?? WORDS.pointOpen}
            </span>
          </li>
        ))}
      </ol>
    </div>
  );
}

/** Limits in words, each with what it means and where it leads. */
export function Limits({ step, field }: { readonly step: StepView; readonly field: FieldView }) {
  if (field.kind !== 'reading' || step.limits.length === 0) return null;
  return (
    <div class="limits" id="limits">
      <h3>{WORDS.limitsTitle}</h3>
      <ul class="lines">
        {step.limits.map((limit) => (
          <li key={limit.written}>
            <span class="limit-words">{sentence(limit.words)}</span>
            {limit.says && <span>: {limit.says}</span>}
            <span class="quiet"> → {limit.leadsTo}</span>
          </li>
        ))}
      </ul>
    </div>
  );
}
