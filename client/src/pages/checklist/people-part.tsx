/** That a step takes two people, and who the second one is: named once, it holds until somebody else is named. */
import { useState } from 'preact/hooks';
import type { StepView } from '../../../../server/src/run/engine.ts';
import type { Session } from './session.ts';
import { SideField } from './side-field.tsx';
import { WORDS } from './words.ts';

export function PeoplePart({ session, step }: { readonly session: Session; readonly step: StepView }) {
  const { helper } = session.view;
  const [changing, setChanging] = useState(false);
  const [told, setTold] = useState<string>();
  const name = (who: string): void =>
    void session.send({ kind: 'helper', who }).then((refused) => {
      setTold(refused);
      if (refused === undefined) setChanging(false);
    });
  return (
    <section class="people" data-test="people" aria-label={WORDS.people(step.people)}>
      <p>
        <strong>{WORDS.people(step.people)}</strong>
      </p>
      {helper !== undefined && !changing ? (
        <div class="row people-known">
          <span data-test="helper-known">{WORDS.helperKnown(helper)}</span>
          <button type="button" class="plain" data-test="helper-change" onClick={() => setChanging(true)}>
            {WORDS.helperChange}
          </button>
        </div>
      ) : (
        <SideField label={WORDS.helperField} action={WORDS.helperNote} test="helper" longest={100} onTake={name} />
      )}
      <p role="alert" class="told">
        {told}
      </p>
    </section>
  );
}
