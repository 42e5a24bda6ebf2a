import { createServer } from 'node:http';
import type { IncomingMessage, Server, ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { FRAME_MEDIA, packFrame, unpackFrame } from '../../shared-core/host-frame';
import type { HostServices, Progress } from '../../shared-core/host-api';
import type { ReadAsset } from '../files/assets';
import { dispatch } from './dispatch';
import { PAGE_HEADERS } from './headers';
import { Session } from './session';

export interface HostOptions {
  readonly services: HostServices;
  readonly onProgress: (listener: (progress: Progress) => void) => () => void;
  readonly readAsset: ReadAsset;
  /** 0 lets the system choose. */
  readonly port: number;
  readonly limits?: Partial<HostLimits>;
}
export interface HostLimits {
  /** Bytes of one request that offers a file, and of any other. */
  readonly fileBody: number;
  readonly body: number;
  /** Requests worked on at a time; more are refused. */
  readonly calls: number;
  readonly heartbeatMs: number;
  /** Time a request may take to send its head, and to arrive whole. */
  readonly headMs: number;
  readonly arrivalMs: number;
  readonly connections: number;
}
export const HOST_LIMITS: HostLimits = { fileBody: 1024 ** 3, body: 128 * 1024 ** 2, calls: 64, heartbeatMs: 15_000, headMs: 10_000, arrivalMs: 120_000, connections: 256 };

export interface RunningHost {
  readonly port: number;
  /** A fresh address with a one-time code; earlier ones become void. */
  address(lifetimeMs: number): string;
  /** Pages that listen at the moment. */
  pages(): number;
  close(): Promise<void>;
}

/**
 * Serves the window to a browser on this machine only. Every request must name this host (stops DNS rebinding), come
 * from this page or from no page (Origin, Sec-Fetch-Site), and carry the token, save for the static files, which hold
 * nothing private.
 * @returns when the port is open; rejects when it is taken.
 */
export async function startHost(options: HostOptions): Promise<RunningHost> {
  const limits = { ...HOST_LIMITS, ...options.limits };
  const session = new Session();
  const listeners = new Set<ServerResponse>();
  const state: State = { ...options, limits, session, listeners, running: 0, port: 0 };
  const server = createServer({ connectionsCheckingInterval: Math.min(5000, limits.headMs), headersTimeout: limits.headMs, requestTimeout: limits.arrivalMs }, (request, response) => {
    answer(state, request, response).catch(() => { refuse(response, 500); });
  });
  server.maxHeadersCount = 60;
  server.maxConnections = limits.connections;
  await listen(server, options.port);
  state.port = (server.address() as AddressInfo).port;

  const stopProgress = options.onProgress((progress) => { for (const page of listeners) page.write(`${JSON.stringify(progress)}\n`); });
  const heartbeat = setInterval(() => { for (const page of listeners) page.write('\n'); }, limits.heartbeatMs);
  heartbeat.unref();
  return {
    port: state.port,
    address: (lifetimeMs) => `http://127.0.0.1:${state.port}/#${session.offerCode(lifetimeMs)}`,
    pages: () => listeners.size,
    close: async () => {
      clearInterval(heartbeat);
      stopProgress();
      server.closeAllConnections();
      await new Promise<void>((resolve) => { server.close(() => { resolve(); }); });
    },
  };
}

interface State extends HostOptions {
  readonly limits: HostLimits;
  readonly session: Session;
  readonly listeners: Set<ServerResponse>;
  running: number;
  port: number;
}

function listen(server: Server, port: number): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once('error', reject);
    server.listen({ host: '127.0.0.1', port }, () => { server.off('error', reject); resolve(); });
  });
}

async function answer(state: State, request: IncomingMessage, response: ServerResponse): Promise<void> {
  for (const [name, value] of Object.entries(PAGE_HEADERS)) response.setHeader(name, value);
  const refused = refusalOf(state, request);
  if (refused !== null) { refuse(response, refused); return; }
  const path = (request.url ?? '/').split('?')[0] ?? '/';
  if (request.method === 'POST' && path === '/session') { await openSession(state, request, response); return; }
  if (request.method === 'POST' && path.startsWith('/call/')) { await call(state, path.slice('/call/'.length), request, response); return; }
  if (request.method === 'GET' && path === '/progress') { follow(state, request, response); return; }
  if (request.method !== 'GET' && request.method !== 'HEAD') { refuse(response, 405); return; }
  const asset = await state.readAsset(path);
  if (!asset) { refuse(response, 404); return; }
  response.writeHead(200, { 'content-type': asset.media, 'content-length': asset.bytes.length });
  response.end(request.method === 'HEAD' ? undefined : asset.bytes);
}

/** Status to refuse with, or null: a foreign host name, a foreign page, or a request another site caused. */
function refusalOf(state: State, request: IncomingMessage): number | null {
  const names = [`127.0.0.1:${state.port}`, `localhost:${state.port}`];
  const { host, origin } = request.headers;
  if (host === undefined || !names.includes(host)) return 421;
  if (origin !== undefined && origin !== `http://${host}`) return 403;
  const site = request.headers['sec-fetch-site'];
  return site === undefined || site === 'same-origin' || site === 'none' ? null : 403;
}

function refuse(response: ServerResponse, status: number): void {
  if (response.headersSent) { response.destroy(); return; }
  // A refused body is not read: the connection ends with the answer.
  response.writeHead(status, { 'content-type': 'text/plain; charset=utf-8', connection: 'close' });
  response.end(`${status}\n`);
}

function isAdmitted(state: State, request: IncomingMessage): boolean {
  const token = /^Bearer ([A-Za-z0-9_-]{20,80})$/.exec(request.headers.authorization ?? '')?.[1];
  return token !== undefined && state.session.admits(token);
}

async function openSession(state: State, request: IncomingMessage, response: ServerResponse): Promise<void> {
  if (request.headers['content-type'] !== 'application/json') { refuse(response, 415); return; }
  const body = await readBody(request, 1000);
  if (body === null) { refuse(response, 413); return; }
  let code: unknown;
  try { code = (JSON.parse(body.toString('utf8')) as { code?: unknown } | null)?.code; } catch { code = null; }
  const token = typeof code === 'string' ? state.session.redeem(code) : null;
  if (token === null) { refuse(response, 403); return; }
  response.writeHead(200, { 'content-type': 'application/json' });
  response.end(JSON.stringify({ token }));
}

async function call(state: State, name: string, request: IncomingMessage, response: ServerResponse): Promise<void> {
  if (!isAdmitted(state, request)) { refuse(response, 401); return; }
  if (request.headers['content-type'] !== FRAME_MEDIA) { refuse(response, 415); return; }
  if (state.running >= state.limits.calls) { refuse(response, 503); return; }
  state.running += 1;
  try {
    const limit = name === 'offerFile' ? state.limits.fileBody : state.limits.body;
    const body = await readBody(request, limit);
    const frame = body && unpackFrame(body);
    if (body === null) {
      const megabytes = Math.round(limit / 1024 ** 2);
      send(response, 413, { ok: false, problem: { code: 'too-big', what: `What the window sent is larger than ${megabytes} MB.`, todo: 'Use a smaller file, for example a scan of lower resolution.' } });
    } else if (!frame) refuse(response, 400);
    else send(response, 200, await dispatch(state.services, name, frame.value));
  } finally { state.running -= 1; }
}

function send(response: ServerResponse, status: number, outcome: unknown): void {
  const frame = packFrame(outcome);
  response.writeHead(status, { 'content-type': FRAME_MEDIA, 'content-length': frame.length });
  response.end(frame);
}

/** A long answer of JSON lines; an empty line now and then keeps it open and shows whether the page is still there. */
function follow(state: State, request: IncomingMessage, response: ServerResponse): void {
  if (!isAdmitted(state, request)) { refuse(response, 401); return; }
  response.writeHead(200, { 'content-type': 'application/x-ndjson' });
  response.write('\n');
  state.listeners.add(response);
  response.on('close', () => { state.listeners.delete(response); });
}

/** @returns the whole body, or null as soon as it is larger than the limit, whatever its header claimed. */
async function readBody(request: IncomingMessage, limit: number): Promise<Buffer | null> {
  if (Number(request.headers['content-length'] ?? 0) > limit) return null;
  const parts: Buffer[] = [];
  let size = 0;
  for await (const part of request as AsyncIterable<Buffer>) {
    size += part.length;
    if (size > limit) return null;
    parts.push(part);
  }
  return Buffer.concat(parts, size);
}
