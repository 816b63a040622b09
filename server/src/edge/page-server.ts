/**
 * The local page server: lists the procedures of a folder, serves the checklist page for each, and takes its events, which it
 * acknowledges once they are on the disk. It listens to this machine alone, unless it is asked to serve the local network, and then
 * only to those who show its key. Nothing that a browser sends becomes a path.
 */
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { checklistPageHtml } from '../render/checklist-page.ts';
import type { RunEvent } from '../run/engine.ts';
import { JournalError } from './journal.ts';
import { checkAddress, HttpProblem, languageOf, readJson, sameKey, secure, showsKey } from './page-server-guard.ts';
import { listSheet, messageSheet, type Sheet } from './page-server-sheets.ts';
import type { ServedLibrary, ServedProcedure } from './served-library.ts';
import { MOST_PHOTO_REQUEST } from './served-photos.ts';
import { Refused, ServedRuns } from './served-runs.ts';

export interface PageServerOptions {
  readonly library: ServedLibrary;
  /** 0: any that is free. */
  readonly port: number;
  /** The key that must be shown; it makes the server listen to the local network. */
  readonly lanKey?: string;
  /** Text of the checklist page's script and styles. */
  readonly page: { readonly script: string; readonly styles: string };
  readonly now?: () => Date;
  /** Milliseconds that a client may take over a request; 15 seconds. */
  readonly patience?: number;
  /** What went wrong inside, for whoever runs the server. */
  readonly report?: (message: string) => void;
}

export interface PageServer {
  readonly port: number;
  /** Resolves once nothing is served any more and every journal is closed. */
  close(): Promise<void>;
}

/** Starts to serve. Rejects where the port is taken or must not be used (`code` as Node gives it). */
export async function startPageServer(options: PageServerOptions): Promise<PageServer> {
  const runs = new ServedRuns(options.now ?? (() => new Date()), options.report);
  const patience = options.patience ?? 15_000;
  const server = createServer({
    requestTimeout: patience, headersTimeout: patience, connectionsCheckingInterval: Math.min(2_000, patience / 2), keepAliveTimeout: 5_000,
    maxHeaderSize: 16 * 1024,
  });
  server.maxConnections = 200;
  server.timeout = 2 * patience;
  const handler = new Handler(options, runs, server);
  server.on('request', (request, response) => void handler.answer(request, response));
  // What is no HTTP at all gets an answer too, and nothing more.
  server.on('clientError', (error: NodeJS.ErrnoException, socket) => {
    if (!socket.writable || error.code === 'ECONNRESET') return void socket.destroy();
    const status = error.code === 'ERR_HTTP_REQUEST_TIMEOUT' ? '408 Request Timeout' : error.code === 'HPE_HEADER_OVERFLOW' ? '431 Request Header Fields Too Large' : '400 Bad Request';
    socket.end(`HTTP/1.1 ${status}\r\nconnection: close\r\ncontent-length: 0\r\n\r\n`, () => socket.destroy());
  });
  const resting = setInterval(() => runs.rest(), 60_000);
  resting.unref();
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(options.port, options.lanKey === undefined ? '127.0.0.1' : '0.0.0.0', resolve);
  });
  return {
    port: (server.address() as AddressInfo).port,
    close: () => new Promise((resolve) => {
      clearInterval(resting);
      server.close(() => {
        runs.close();
        resolve();
      });
      server.closeAllConnections();
    }),
  };
}

/** Calls for a run that is under way. */
const GOING_ON = ['append', 'finish', 'discard', 'keepPhoto', 'photo'];

class Handler {
  readonly #options: PageServerOptions;
  readonly #runs: ServedRuns;
  readonly #server: Server;

  constructor(options: PageServerOptions, runs: ServedRuns, server: Server) {
    this.#options = options;
    this.#runs = runs;
    this.#server = server;
  }

  async answer(request: IncomingMessage, response: ServerResponse): Promise<void> {
    secure(response);
    // A client that goes away in the middle is nobody's trouble.
    response.on('error', () => undefined);
    const wantsJson = request.method === 'POST';
    // While an answer is worked on, the client is silent with reason: what it sends is bounded by requestTimeout.
    request.socket.setTimeout(0);
    try {
      await this.#route(request, response);
    } catch (error) {
      const { status, message } = this.#problem(error);
      if (response.headersSent || response.destroyed) return void response.destroy();
      // Whatever of the request has not been read is not waited for.
      if (status === 413 || status === 415) response.setHeader('connection', 'close');
      if (wantsJson) sendJson(response, status, { error: message });
      else sendSheet(response, status, messageSheet(message, languageWanted(request)));
    } finally {
      request.socket.setTimeout(this.#server.timeout);
    }
  }

  async #route(request: IncomingMessage, response: ServerResponse): Promise<void> {
    const { lanKey } = this.#options;
    const port = (this.#server.address() as AddressInfo | null)?.port ?? 0;
    checkAddress(request, port, lanKey !== undefined);
    const url = this.#url(request);
    if (lanKey !== undefined && !this.#admitted(request, response, url, lanKey, `faultwright_${port}`)) return;
    const path = url.pathname.split('/').slice(1);
    if (request.method === 'GET' || request.method === 'HEAD') {
      const { language, asked } = languageOf(request, url);
      if (path.length === 1 && path[0] === '') return sendSheet(response, 200, listSheet(await this.#options.library.procedures(), language, asked));
      if (path.length === 2 && path[0] === 'run') return this.#page(response, await this.#procedure(path[1]), url.searchParams.get('asset') ?? undefined, asked ? language : undefined);
      throw new HttpProblem(404, 'There is no such page here.');
    }
    if (request.method !== 'POST') {
      response.setHeader('allow', 'GET, HEAD, POST');
      throw new HttpProblem(405, 'That is not a way to ask this server.');
    }
    if (path.length !== 3 || path[0] !== 'run') throw new HttpProblem(404, 'There is nothing to send to there.');
    const procedure = await this.#procedure(path[1], GOING_ON.includes(path[2] ?? ''));
    sendJson(response, 200, { result: this.#call(procedure, path[2] ?? '', await readJson(request, path[2] === 'keepPhoto' ? MOST_PHOTO_REQUEST : undefined)) ?? null });
  }

  #url(request: IncomingMessage): URL {
    const text = request.url ?? '/';
    // '//name/' would be read as another host's address.
    if (text.length > 2_000 || !/^\/(?![/\\])/.test(text)) throw new HttpProblem(400, 'The address is not one of this server.');
    try {
      return new URL(text, 'http://server.invalid');
    } catch {
      throw new HttpProblem(400, 'The address is not one of this server.');
    }
  }

  /** False where the answer has been given: the key was shown in the address, and the browser is sent on without it. */
  #admitted(request: IncomingMessage, response: ServerResponse, url: URL, key: string, cookie: string): boolean {
    const shown = url.searchParams.get('key');
    if (request.method === 'GET' && shown !== null && sameKey(shown, key)) {
      url.searchParams.delete('key');
      response.setHeader('set-cookie', `${cookie}=${key}; HttpOnly; SameSite=Lax; Path=/; Max-Age=43200`);
      response.setHeader('location', `${url.pathname}${url.search}`.replace(/^\/+/, '/'));
      response.writeHead(303).end();
      return false;
    }
    if (showsKey(request, key, cookie)) return true;
    throw new HttpProblem(401, 'Open the address with its key, as it was printed when the server was started, or scan its code again.');
  }

  /** `asItWas`: as it was last read will do, where a run goes by its own text anyway: an entry must not wait for the folder to be read. */
  async #procedure(id: string | undefined, asItWas = false): Promise<ServedProcedure> {
    const procedure = id !== undefined && /^[0-9a-f]{16}$/.test(id) ? await this.#options.library.procedure(id, asItWas) : undefined;
    if (procedure === undefined) throw new HttpProblem(404, 'That procedure is not here any more. Go back to the list of procedures.');
    return procedure;
  }

  /** `language`: where the address asks for one; else the page speaks that of its browser. */
  async #page(response: ServerResponse, procedure: ServedProcedure, asset: string | undefined, language: 'en' | 'de' | undefined): Promise<void> {
    if (asset !== undefined && !procedure.assets.includes(asset)) throw new HttpProblem(404, 'The procedure does not apply to that asset, or nobody has listed it.');
    const { script, styles } = this.#options.page;
    const figures = await procedure.figures();
    const html = checklistPageHtml(procedure.document(asset), script, styles, {
      connect: { base: `/run/${procedure.id}` }, ...(language === undefined ? {} : { language }), ...(Object.keys(figures).length > 0 ? { figures } : {}),
    });
    response.setHeader('content-security-policy', `frame-ancestors 'none'`);
    response.setHeader('content-type', 'text/html; charset=utf-8');
    response.writeHead(200).end(html);
  }

  #call(procedure: ServedProcedure, method: string, given: Readonly<Record<string, unknown>>): unknown {
    const asset = textOf(given, 'asset', 200);
    const runId = textOf(given, 'runId', 100);
    const named = (): string => {
      if (runId === undefined) throw new HttpProblem(400, 'The request names no run.');
      return runId;
    };
    switch (method) {
      case 'look':
        return this.#runs.look(procedure, asset);
      case 'open':
        return this.#runs.open(procedure, runId, asset, given['toStop'] === true);
      case 'carryOver': {
        const person = textOf(given, 'person', 200);
        return this.#runs.carryOver(procedure, named(), { at: textOf(given, 'at', 100) ?? '', ...(person === undefined ? {} : { person }) });
      }
      case 'append': {
        const { index, event } = given;
        if (typeof index !== 'number' || !Number.isSafeInteger(index) || index < 0 || typeof event !== 'object' || event === null) {
          throw new HttpProblem(400, 'The request holds no event and its place.');
        }
        return this.#runs.append(procedure, named(), index, event as RunEvent);
      }
      case 'keepPhoto':
        return this.#runs.keepPhoto(procedure, named(), textOf(given, 'name', 200) ?? '', textOf(given, 'data', MOST_PHOTO_REQUEST) ?? '');
      case 'photo':
        return this.#runs.photo(procedure, named(), textOf(given, 'name', 200) ?? '');
      case 'finish':
        return this.#runs.finish(procedure, named());
      case 'discard':
        return this.#runs.discard(procedure, named());
      default:
        throw new HttpProblem(404, 'There is nothing to send to there.');
    }
  }

  #problem(error: unknown): { status: number; message: string } {
    if (error instanceof HttpProblem) return { status: error.status, message: error.message };
    if (error instanceof Refused) return { status: { refused: 422, conflict: 409, gone: 410 }[error.kind], message: error.message };
    if (error instanceof JournalError) {
      this.#options.report?.(error.message);
      return { status: { locked: 409, full: 507, not_allowed: 507, missing: 410, damaged: 500, other_writer: 409, closed: 409, failed: 500 }[error.problem], message: error.message };
    }
    this.#options.report?.(`This should not have happened: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}`);
    return { status: 500, message: 'Something went wrong on the machine that serves this page. Nothing entered before is lost.' };
  }
}

/** Of a request that may be anything: its address need not be one. */
function languageWanted(request: IncomingMessage): 'en' | 'de' {
  return languageOf(request, new URL(/[?&]language=de\b/.test(request.url ?? '') ? 'http://server.invalid/?language=de' : 'http://server.invalid/')).language;
}

function textOf(given: Readonly<Record<string, unknown>>, name: string, most: number): string | undefined {
  const value = given[name];
  if (value === undefined || value === null) return undefined;
  if (typeof value !== 'string' || value.length > most) throw new HttpProblem(400, `The field ${name} is not as it should be.`);
  return value;
}

function sendJson(response: ServerResponse, status: number, value: unknown): void {
  response.setHeader('content-type', 'application/json; charset=utf-8');
  response.writeHead(status).end(JSON.stringify(value));
}

function sendSheet(response: ServerResponse, status: number, { html, policy }: Sheet): void {
  response.setHeader('content-security-policy', policy);
  response.setHeader('content-type', 'text/html; charset=utf-8');
  response.writeHead(status).end(html);
}
