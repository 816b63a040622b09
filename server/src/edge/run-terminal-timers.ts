/**
 * The times of a step on a terminal: the rest before it is done again, the wait before its entry, the longest that it may be held. What is
 * left stands before the cursor, and it rings when the time is over. Answers from a file are not kept waiting; the record says how long
 * was waited either way.
 */
import type { RunView } from '../run/engine.ts';
import { durationWords } from '../run/texts.ts';
import type { TerminalSession } from './run-terminal-session.ts';
import { clockText, promptText } from './run-terminal-text.ts';

interface Running {
  /** Seconds. */
  left(): number;
  readonly before: (left: string) => string;
  readonly over: string;
}

export class TerminalTimers {
  readonly #session: TerminalSession;
  #ticking: NodeJS.Timeout | undefined;
  /** The longest time that is being counted: when it is over, in ms of a clock that nobody sets. */
  #held: { readonly until: number; readonly place: string } | undefined;
  /** Where it was last said that a time is not over. */
  #warnedAt: string | undefined;

  constructor(session: TerminalSession) {
    this.#session = session;
  }

  /** Whether a person has yet to begin the wait of the step at hand. */
  waiting(view: RunView): boolean {
    return this.#session.given.answers === undefined && asksForEntry(view) && view.step?.waitSeconds !== undefined && view.step.waitSince === undefined && view.step.waitKept !== true;
  }

  /** The longest time begins now. */
  hold(view: RunView): void {
    const seconds = view.step?.maxSeconds ?? 0;
    this.#held = { until: performance.now() + seconds * 1000, place: placeOf(view) };
    this.#session.say(this.#session.style.words.clockBegun(durationWords(seconds)));
  }

  /** True where an entry comes before its time and has not been given twice: that has been said. */
  tooSoon(view: RunView): boolean {
    const { session, place } = { session: this.#session, place: `${this.#session.run.events.length}` };
    if (session.given.answers !== undefined || !asksForEntry(view) || this.#warnedAt === place) return false;
    const words = this.#warning(view);
    if (words === undefined) return false;
    this.#warnedAt = place;
    session.say(words);
    return true;
  }

  /** Shows what is left while a line is waited for. */
  start(view: RunView): void {
    this.stop();
    const running = this.#running(view);
    if (running === undefined) return;
    const { lines, style } = this.#session;
    const prompt = promptText(view.field, style, this.waiting(view));
    const tick = (): void => {
      const left = running.left();
      if (left > 0) return lines.refresh(`${running.before(clockText(left))} ${prompt}`);
      this.stop();
      this.#held = undefined;
      lines.refresh(prompt);
      lines.interject(`\u0007\n${running.over}\n`);
      // A wait may follow a rest.
      this.start(this.#session.view());
    };
    this.#ticking = setInterval(tick, 1_000);
  }

  stop(): void {
    clearInterval(this.#ticking);
    this.#ticking = undefined;
  }

  #warning(view: RunView): string | undefined {
    const { words } = this.#session.style;
    const rested = this.#restLeft(view);
    const rest = view.step?.restSeconds ?? 0;
    if (rested > 0) return words.restTooSoon(durationWords(rest), durationWords(rest - rested));
    const wait = view.step?.waitSeconds ?? 0;
    if (this.waiting(view)) return words.waitNotBegun(durationWords(wait));
    const left = this.#waitLeft(view);
    return left > 0 ? words.waitTooSoon(durationWords(wait), durationWords(wait - left)) : undefined;
  }

  #running(view: RunView): Running | undefined {
    const { given, style: { words } } = this.#session;
    if (given.answers !== undefined || !asksForEntry(view)) return undefined;
    if (this.#held !== undefined && this.#held.place === placeOf(view)) {
      const { until } = this.#held;
      return { left: () => (until - performance.now()) / 1000, before: words.clockLeft, over: words.clockOver };
    }
    this.#held = undefined;
    if (this.#restLeft(view) > 0) return { left: () => this.#restLeft(view), before: words.restLeft, over: words.restOver };
    if (this.#waitLeft(view) > 0) return { left: () => this.#waitLeft(view), before: words.waitLeft, over: words.waitOver };
    return undefined;
  }

  #restLeft({ step }: RunView): number {
    return step?.restSeconds === undefined || step.restSince === undefined ? 0 : this.#left(step.restSeconds, step.restSince);
  }

  #waitLeft({ step }: RunView): number {
    return step?.waitSeconds === undefined || step.waitSince === undefined ? 0 : this.#left(step.waitSeconds, step.waitSince);
  }

  /** Seconds left of a time that began at `since`. A clock that was set back makes it no longer than it is. */
  #left(seconds: number, since: string): number {
    return Math.min(seconds, seconds - (this.#session.terminal.now().getTime() - Date.parse(since)) / 1000);
  }
}

/** The step at hand, this time round. */
function placeOf(view: RunView): string {
  return `${view.inside.join('/')}/${view.step?.name ?? ''}/${view.step?.doneBefore ?? 0}`;
}

function asksForEntry(view: RunView): boolean {
  return view.field?.kind === 'done' || view.field?.kind === 'reading' || view.field?.kind === 'answer';
}
