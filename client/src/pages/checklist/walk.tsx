/**
 * One step at a time, from the top: where one is, what was done (folded), cautions, states, the instruction, the field, the
 * judgement, and one large button that says what happens next.
 */
import { useLayoutEffect, useRef } from 'preact/hooks';
import type { RunView } from '../../../../server/src/run/engine.ts';
import { Extras } from './extras.tsx';
import { History } from './history.tsx';
import type { ChecklistHost } from './host.ts';
import type { Session } from './session.ts';
import { ScanRecord } from './scan-record.tsx';
import { Closing, Remarks, ScannedSheet } from './start.tsx';
import { SettingsPart } from './settings-part.tsx';
import { StepSheet } from './step-sheet.tsx';
import { Defects, RecordPlace } from './verdict.tsx';
import { Where } from './where.tsx';
import { WORDS } from './words.ts';

interface WalkProps {
  readonly host: ChecklistHost;
  readonly session: Session;
  readonly onLeave: () => void;
}

export function Walk({ host, session, onLeave }: WalkProps) {
  const { view } = session;
  const sheet = useRef<HTMLElement>(null);
  useFocusOnward(view, sheet);
  const closed = view.stage === 'finished' || view.stage === 'stopped';
  const last = view.walked.findLast((walked) => walked.judgement !== undefined && walked.judgement === view.judgement);
  return (
    <main class="sheet" ref={sheet} data-run={session.runId} data-entries={session.events.length}>
      <Where session={session} />
      <Remarks remarks={[...view.remarks, ...view.carriedOver]} />
      {!closed && <History session={session} />}
      {view.judgement && last && !closed && (
        <p class="last-judgement" data-test="last-judgement">
          <span class="quiet">{last.title}: </span>
          {view.judgement}
        </p>
      )}
      {host.warning && <p class="remark">{host.warning}</p>}
      <ScannedSheet host={host} />
      <StepSheet key={`${placeOf(view)}|${pointOf(view)}`} host={host} session={session} />
      {closed && session.filed && (
        <RecordPlace
          words={host.kind !== 'file' ? WORDS.recordAt : WORDS.recordKept}
          where={session.filed.where}
          action={host.kind === 'editor' ? WORDS.recordOpen : WORDS.recordSave}
          onShow={() => host.showRecord(session.filed!)}
        />
      )}
      {closed && session.filed?.scan && <ScanRecord scan={session.filed.scan} />}
      {session.trouble !== undefined && (
        <div class="trouble" role="alert" data-test="trouble">
          <p>
            <strong>{WORDS.notSaved}</strong> {session.trouble}
          </p>
          <div class="row">
            <button type="button" class="plain strong" onClick={() => void session.tryAgain()}>
              {WORDS.tryAgain}
            </button>
            <button type="button" class="plain" onClick={() => location.reload()}>
              {WORDS.reload}
            </button>
          </div>
        </div>
      )}
      {!closed && !view.paused && (
        <>
          <Left view={view} />
          <Extras host={host} session={session} />
          <InTheText host={host} view={view} />
        </>
      )}
      <Defects defects={view.defects} />
      {closed && <History session={session} open />}
      {closed && (
        <button type="button" class="plain" data-test="again" onClick={onLeave}>
          {WORDS.again}
        </button>
      )}
      <SettingsPart />
      <Closing lines={view.closing} />
    </main>
  );
}

/** Faults that may still be the cause. */
function Left({ view }: { readonly view: RunView }) {
  if (view.faultsLeft.length === 0 || (view.stage !== 'step' && view.stage !== 'fact')) return null;
  return (
    <details class="left" data-test="faults-left">
      <summary>{WORDS.stillPossible(view.faultsLeft.length)}</summary>
      <ul>
        {view.faultsLeft.map((fault) => (
          <li key={fault.name}>{fault.title}</li>
        ))}
      </ul>
    </details>
  );
}

/** For whoever writes the procedure: from the sheet to the step. A step of a procedure run from it stands in another file. */
function InTheText({ host, view }: { readonly host: ChecklistHost; readonly view: RunView }) {
  const { step } = view;
  if (!host.reveal || !step || view.inside.length > 1) return null;
  return (
    <button type="button" class="plain" data-test="reveal" onClick={() => void host.reveal?.(step.name)}>
      {WORDS.reveal}
    </button>
  );
}

/** Changes exactly when the walk has gone on (or back): drafts belong to one place. */
function placeOf(view: RunView): string {
  const fact = view.field?.kind === 'fact' ? view.field.fact : '';
  return [view.stage, view.paused, view.inside.length, view.step?.name, view.step?.doneBefore, fact].join('|');
}

function pointOf(view: RunView): string {
  return view.step?.points.find((candidate) => candidate.current)?.name ?? '';
}

/**
 * After each entry the keyboard and the screen reader stand where reading goes on: at the new step; within a step, at what was
 * uncovered, or at the field of the next point.
 */
function useFocusOnward(view: RunView, sheet: { readonly current: HTMLElement | null }): void {
  const place = placeOf(view);
  const point = pointOf(view);
  const kind = view.field?.kind;
  const was = useRef<{ place: string; point: string; kind: string | undefined } | undefined>(undefined);
  // At once with the sheet, so that no key goes astray in between.
  useLayoutEffect(() => {
    const before = was.current;
    was.current = { place, point, kind };
    const find = (selector: string) => sheet.current?.querySelector<HTMLElement>(selector);
    if (!before) return;
    if (before.place !== place) {
      window.scrollTo(0, 0);
      find('#step-title')?.focus({ preventScroll: true });
    } else if (before.point !== point) (find('.reading input') ?? find('.choices input') ?? find('#step-title'))?.focus();
    else if (before.kind !== kind) (find(kind === 'confirm_states' ? '#states' : '#instruction') ?? find('#step-title'))?.focus();
  }, [place, point, kind, sheet]);
}
