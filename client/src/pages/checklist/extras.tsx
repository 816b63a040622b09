/**
 * What a run allows at any step: a note, the instrument in the hand, a pause, handing over, stopping. Folded away below the
 * step.
 */
import { useState } from 'preact/hooks';
import type { ChecklistHost } from './host.ts';
import { PhotoPart } from './photos.tsx';
import type { Session } from './session.ts';
import { plainName, WORDS } from './words.ts';

export function Extras({ host, session }: { readonly host: ChecklistHost; readonly session: Session }) {
  const { view } = session;
  const [told, setTold] = useState<string>();
  const take = async (event: Parameters<Session['send']>[0], done?: string) => setTold((await session.send(event)) ?? done);
  return (
    <details class="extras" data-test="extras">
      <summary>{WORDS.more}</summary>
      {view.step?.instrument && (
        <InstrumentUsed session={session} name={view.step.instrument.name} title={view.step.instrument.title} onTold={setTold} />
      )}
      <OneField
        label={WORDS.noteField}
        action={WORDS.noteAdd}
        test="note"
        onTake={(text) => take({ kind: 'note', text }, WORDS.noteAdded)}
      />
      {!view.step?.photo && <PhotoPart host={host} session={session} />}
      <OneField label={WORDS.handField} action={WORDS.hand} test="hand" onTake={(to) => take({ kind: 'handed_over', to })} />
      <OneField label={WORDS.stopField} action={WORDS.stop} test="stop" onTake={(reason) => take({ kind: 'stopped', reason })} />
      <div class="row">
        <button type="button" class="plain" data-test="pause" onClick={() => void take({ kind: 'paused' })}>
          {WORDS.pause}
        </button>
      </div>
      <p role="status" class="told">
        {told}
      </p>
    </details>
  );
}

function OneField({
  label,
  action,
  test,
  onTake,
}: {
  readonly label: string;
  readonly action: string;
  readonly test: string;
  readonly onTake: (text: string) => Promise<void>;
}) {
  const [text, setText] = useState('');
  return (
    <form
      class="field-line"
      onSubmit={(event) => {
        event.preventDefault();
        if (text.trim() !== '') void onTake(text.trim()).then(() => setText(''));
      }}
    >
      <label>
        <span>{label}</span>
        <input
          type="text"
          class="wide"
          data-test={`${test}-field`}
          maxLength={2000}
          autoComplete="off"
          value={text}
          onInput={(event) => setText(event.currentTarget.value)}
        />
      </label>
      <button type="submit" class="plain" data-test={test}>
        {action}
      </button>
    </form>
  );
}

function InstrumentUsed({
  session,
  name,
  title,
  onTold,
}: {
  readonly session: Session;
  readonly name: string;
  readonly title: string;
  readonly onTold: (told: string | undefined) => void;
}) {
  const known = session.events.findLast((event) => event.kind === 'instrument' && event.instrument === name);
  const [id, setId] = useState('');
  const [until, setUntil] = useState('');
  return (
    <form
      class="field-line"
      onSubmit={(event) => {
        event.preventDefault();
        if (id.trim() === '') return;
        void session
          .send({ kind: 'instrument', instrument: name, id: id.trim(), ...(until ? { calibratedUntil: until } : {}) })
          .then(onTold);
      }}
    >
      <fieldset class="plain-set">
        <legend>
          {WORDS.instrumentTitle(title || plainName(name))}
          {known?.kind === 'instrument' && <span class="quiet"> {WORDS.instrumentKnown(known.id)}</span>}
        </legend>
        <label>
          <span>{WORDS.instrumentField}</span>
          <input
            type="text"
            class="wide"
            data-test="instrument-id"
            maxLength={100}
            autoComplete="off"
            value={id}
            onInput={(event) => setId(event.currentTarget.value)}
          />
        </label>
        <label>
          <span>{WORDS.instrumentUntil}</span>
          <input
            type="date"
            data-test="instrument-until"
            value={until}
            onInput={(event) => setUntil(event.currentTarget.value)}
          />
        </label>
        <button type="submit" class="plain" data-test="instrument">
          {WORDS.instrumentSave}
        </button>
      </fieldset>
    </form>
  );
}
