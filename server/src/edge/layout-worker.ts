/**
 * Lays out drawings on a thread of their own, so that the server goes on answering, and gives up on one that would take too long. The
 * layout library lies beside the bundle, unmodified.
 */
import { Worker } from 'node:worker_threads';
import type { LayoutEngine } from '../render/flow-layout.ts';

type Graph = Parameters<LayoutEngine['layout']>[0];

interface Job {
  readonly graph: Graph;
  readonly resolve: (graph: Graph) => void;
  readonly reject: (error: Error) => void;
}

const PROGRAM = `
  const { parentPort, workerData } = require('node:worker_threads');
  const Engine = require(workerData);
  const engine = new (Engine.default ?? Engine)();
  parentPort.on('message', (graph) => engine.layout(graph).then(
    (placed) => parentPort.postMessage({ placed }),
    (error) => parentPort.postMessage({ problem: String(error && error.message || error) })));
`;

/** `library` is the path of the layout library; `limit` is in milliseconds for one drawing. The thread starts with the first one. */
export function layoutOnThread(library: string, limit: number): LayoutEngine {
  const waiting: Job[] = [];
  let worker: Worker | undefined;
  let current: Job | undefined;
  let timer: ReturnType<typeof setTimeout> | undefined;

  const next = (): void => {
    if (current || waiting.length === 0) return;
    current = waiting.shift() as Job;
    worker ??= begin();
    worker.ref();
    timer = setTimeout(() => {
      void worker?.terminate();
      worker = undefined;
      done((job) =>
        job.reject(
          new Error(
            `The flow could not be laid out within ${limit / 1000} s. It has too many ways back and across to be read as a drawing.`,
          ),
        ),
      );
    }, limit);
    worker.postMessage(current.graph);
  };
  const done = (tell: (job: Job) => void): void => {
    clearTimeout(timer);
    const job = current;
    current = undefined;
    // An idle thread must not keep the server from leaving.
    worker?.unref();
    if (job) tell(job);
    next();
  };
  const begin = (): Worker => {
    const begun = new Worker(PROGRAM, { eval: true, workerData: library });
    begun.on('message', (message: { placed?: Graph; problem?: string }) => {
      if (begun !== worker) return;
      done((job) => (message.placed ? job.resolve(message.placed) : job.reject(new Error(message.problem))));
    });
    begun.on('error', (error) => {
      if (begun !== worker) return;
      worker = undefined;
      done((job) => job.reject(error instanceof Error ? error : new Error(String(error))));
    });
    return begun;
  };
  return {
    layout: (graph) =>
      new Promise((resolve, reject) => {
        waiting.push({ graph, resolve, reject });
        next();
      }),
  };
}
