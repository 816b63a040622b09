/**
 * Works out diagnoses on a thread of their own, so that the server goes on answering while someone types. A job that is no longer wanted is told so
 * through memory that both sides share, and ends at the next place where the search looks.
 */
import { parentPort, Worker, workerData } from 'node:worker_threads';
import { SearchCancelled } from '../diagnosis/best-order.ts';
import type { DiagnosisOutcome } from '../features/diagnosis.ts';
import { doDiagnosisJob, type DiagnosisJob } from '../features/diagnosis-job.ts';
import type { DiagnosisEngine } from '../lsp/host.ts';

/** What the thread is started with: one number, the last job that is still wanted. */
interface Start {
  readonly diagnose: SharedArrayBuffer;
}

type Answer = { readonly job: number } & ({ readonly outcome: DiagnosisOutcome | undefined } | { readonly superseded: true } | { readonly problem: string });

interface Waiting {
  readonly resolve: (outcome: DiagnosisOutcome | 'superseded' | undefined) => void;
  readonly reject: (error: Error) => void;
}

/** `script` is one that calls diagnoseOnThread when it is started as a thread. The thread starts with the first job. */
export function diagnosisOnThread(script: string): DiagnosisEngine {
  // For each of the last jobs, 1 once it is no longer wanted.
  const shared = new SharedArrayBuffer(4 * SLOTS);
  const unwanted = new Int32Array(shared);
  const waiting = new Map<number, Waiting>();
  let worker: Worker | undefined;
  let last = 0;

  const begin = (): Worker => {
    const begun = new Worker(script, { workerData: { diagnose: shared } satisfies Start });
    begun.on('message', (answer: Answer) => {
      const asked = waiting.get(answer.job);
      waiting.delete(answer.job);
      // An idle thread must not keep the server from leaving.
      if (waiting.size === 0) begun.unref();
      if ('problem' in answer) asked?.reject(new Error(answer.problem));
      else asked?.resolve('superseded' in answer ? 'superseded' : answer.outcome);
    });
    begun.on('error', (error) => {
      if (begun !== worker) return;
      worker = undefined;
      for (const asked of waiting.values()) asked.reject(error instanceof Error ? error : new Error(String(error)));
      waiting.clear();
    });
    return begun;
  };
  return {
    begin(job) {
      const number = ++last;
      Atomics.store(unwanted, number % SLOTS, 0);
      worker ??= begin();
      worker.ref();
      const outcome = new Promise<DiagnosisOutcome | 'superseded' | undefined>((resolve, reject) => waiting.set(number, { resolve, reject }));
      worker.postMessage({ number, job });
      return { outcome, cancel: () => { if (waiting.has(number)) Atomics.store(unwanted, number % SLOTS, 1); } };
    },
  };
}

/** More than jobs ever wait at once. */
const SLOTS = 1_024;

/** The other side: to be called in a thread. True where this is a thread of the diagnosis. */
export function diagnoseOnThread(): boolean {
  const start = workerData as Start | null;
  if (parentPort === null || start?.diagnose === undefined) return false;
  const port = parentPort;
  const unwanted = new Int32Array(start.diagnose);
  port.on('message', ({ number, job }: { readonly number: number; readonly job: DiagnosisJob }) => {
    const cancelled = (): boolean => Atomics.load(unwanted, number % SLOTS) === 1;
    let answer: Answer;
    try {
      answer = cancelled() ? { job: number, superseded: true } : { job: number, outcome: doDiagnosisJob(job, cancelled) };
    } catch (error) {
      answer = error instanceof SearchCancelled ? { job: number, superseded: true } : { job: number, problem: error instanceof Error ? error.message : String(error) };
    }
    port.postMessage(answer);
  });
  return true;
}
