import { request } from 'node:http';
import type { IncomingHttpHeaders } from 'node:http';
import { connect } from 'node:net';
import { afterEach, describe, expect, it } from 'vitest';
import { FRAME_MEDIA, packFrame, unpackFrame } from '../../shared-core/host-frame';
import type { HostServices, Progress } from '../../shared-core/host-api';
import { CONTENT_POLICY } from '../../main/host/headers';
import { HOST_LIMITS, startHost } from '../../main/host/server';
import type { HostLimits, RunningHost } from '../../main/host/server';

let host: RunningHost | null = null;
let tell: (progress: Progress) => void = () => undefined;
let served: unknown[] = [];
afterEach(async () => { await host?.close(); host = null; served = []; });

const page = new TextEncoder().encode('<!doctype html>');
async function start(limits?: Partial<HostLimits>): Promise<{ port: number; code: string }> {
  const services = {
    cancel: async (input: unknown) => { served.push(input); return { ok: true, value: {} }; },
    offerFile: async ({ name, bytes }: { name: string; bytes: Uint8Array }) => { served.push(name); return { ok: true, value: { file: 'f', name, size: bytes.length } }; },
    newProject: async () => { throw new TypeError('secret path /home/someone/plan.png'); },
  } as unknown as HostServices;
  host = await startHost({ services, port: 0, onProgress: (listener) => { tell = listener; return () => undefined; }, readAsset: async (path) => (path === '/' ? { media: 'text/html', bytes: page } : null), limits });
  return { port: host.port, code: host.address(60_000).split('#')[1] ?? '' };
}

interface Answer { status: number; headers: IncomingHttpHeaders; body: Buffer }
function ask(port: number, path: string, options: { method?: string; headers?: Record<string, string>; body?: Uint8Array | string } = {}): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const sent = request({ host: '127.0.0.1', port, path, method: options.method ?? 'GET', headers: options.headers }, (answer) => {
      const parts: Buffer[] = [];
      answer.on('data', (part: Buffer) => parts.push(part));
      answer.on('end', () => { resolve({ status: answer.statusCode ?? 0, headers: answer.headers, body: Buffer.concat(parts) }); });
    });
    sent.on('error', reject);
    sent.end(options.body);
  });
}
const openSession = (port: number, code: string, headers: Record<string, string> = {}) => ask(port, '/session', { method: 'POST', headers: { 'content-type': 'application/json', ...headers }, body: JSON.stringify({ code }) });
async function admitted(limits?: Partial<HostLimits>) {
  const { port, code } = await start(limits);
  const { token } = JSON.parse((await openSession(port, code)).body.toString()) as { token: string };
  const headers = { authorization: `Bearer ${token}`, 'content-type': FRAME_MEDIA };
  return { port, token, headers, call: (name: string, input: unknown, more: Record<string, string> = {}) => ask(port, `/call/${name}`, { method: 'POST', headers: { ...headers, ...more }, body: packFrame(input) }) };
}
const outcomeOf = (answer: Answer) => unpackFrame(new Uint8Array(answer.body))?.value;

describe('the loopback host', () => {
  it('listens on the loopback address alone', async () => {
    const { port } = await start();
    await expect(new Promise((resolve, reject) => { connect({ host: '127.0.0.2', port }).on('connect', resolve).on('error', reject); })).rejects.toThrow();
  });

  it('sends every protection with every answer, also with a refusal', async () => {
    const { port } = await start();
    for (const path of ['/', '/none', '/progress']) {
      const { headers } = await ask(port, path);
      expect(headers).toMatchObject({
        'content-security-policy': CONTENT_POLICY, 'x-content-type-options': 'nosniff', 'referrer-policy': 'no-referrer', 'cross-origin-opener-policy': 'same-origin',
        'cross-origin-embedder-policy': 'require-corp', 'cross-origin-resource-policy': 'same-origin', 'x-frame-options': 'DENY', 'cache-control': 'no-store' });
      expect(Object.keys(headers).filter((name) => name.startsWith('access-control'))).toEqual([]);
    }
    for (const word of ["default-src 'none'", "script-src 'self' 'wasm-unsafe-eval'", "style-src 'self'", "connect-src 'self'", "frame-ancestors 'none'", "form-action 'none'", "base-uri 'none'", "object-src 'none'"]) expect(CONTENT_POLICY.split('; ')).toContain(word);
    expect(CONTENT_POLICY).not.toMatch(/unsafe-inline|unsafe-eval'(?<!wasm-unsafe-eval')|\*|https?:/);
  });

  it.each([
    ['another host name (DNS rebinding)', { host: 'evil.example' }, 421],
    ['the right name with another port', { host: '127.0.0.1:1' }, 421],
    ['a foreign page', { origin: 'http://evil.example' }, 403],
    ['a page of another port of this machine', { origin: 'http://127.0.0.1:1' }, 403],
    ['a sandboxed page', { origin: 'null' }, 403],
    ['a request another site caused', { 'sec-fetch-site': 'cross-site' }, 403],
    ['a request another port caused', { 'sec-fetch-site': 'same-site' }, 403],
  ])('refuses %s, files and session alike', async (_, headers, status) => {
    const { port, code } = await start();
    expect((await ask(port, '/', { headers })).status).toBe(status);
    expect((await openSession(port, code, headers)).status).toBe(status);
    expect((await openSession(port, code)).status).toBe(200);
  });

  it('accepts its own page by either name of this machine', async () => {
    const { port } = await start();
    expect((await ask(port, '/', { headers: { host: `localhost:${port}`, origin: `http://localhost:${port}`, 'sec-fetch-site': 'same-origin' } })).status).toBe(200);
    expect((await ask(port, '/', { headers: { host: `localhost:${port}`, origin: `http://127.0.0.1:${port}` } })).status).toBe(403);
  });

  it('redeems a code once, in time, and only the latest', async () => {
    const { port, code } = await start();
    expect((await openSession(port, 'x'.repeat(43))).status).toBe(403);
    expect((await openSession(port, code)).status).toBe(200);
    expect((await openSession(port, code)).status).toBe(403);
    const first = host?.address(60_000).split('#')[1] ?? '';
    const late = host?.address(-1).split('#')[1] ?? '';
    expect((await openSession(port, first)).status).toBe(403);
    expect((await openSession(port, late)).status).toBe(403);
  });

  it('takes no session by form, by link, or with a long body', async () => {
    const { port, code } = await start();
    expect((await openSession(port, code, { 'content-type': 'text/plain' })).status).toBe(415);
    expect((await ask(port, `/session?code=${code}`)).status).toBe(404);
    expect((await openSession(port, code.padEnd(5000, 'x'))).status).toBe(413);
  });

  it('works for the right token only, sent as a header', async () => {
    const { port, token, call } = await admitted();
    expect(outcomeOf(await call('cancel', { job: 'a' }))).toEqual({ ok: true, value: {} });
    const refused = [
      await call('cancel', { job: 'a' }, { authorization: 'Bearer ' }), await call('cancel', { job: 'a' }, { authorization: `Bearer ${'x'.repeat(43)}` }),
      await ask(port, `/call/cancel?token=${token}`, { method: 'POST', headers: { 'content-type': FRAME_MEDIA, cookie: `token=${token}` }, body: packFrame({ job: 'a' }) }),
      await ask(port, '/progress'),
    ];
    expect(refused.map((answer) => answer.status)).toEqual([401, 401, 401, 401]);
    expect(served).toEqual([{ job: 'a' }]);
  });

  it('changes nothing by GET, by PUT or with another media type', async () => {
    const { port, headers, call } = await admitted();
    expect((await ask(port, '/call/cancel', { headers })).status).toBe(404);
    expect((await ask(port, '/call/cancel', { method: 'PUT', headers })).status).toBe(405);
    expect((await call('cancel', { job: 'a' }, { 'content-type': 'text/plain' })).status).toBe(415);
    expect((await ask(port, '/call/cancel', { method: 'POST', headers, body: 'no frame' })).status).toBe(400);
    expect(served).toEqual([]);
  });

  it('answers an unknown call and an argument that does not fit in words, before any work', async () => {
    const { call } = await admitted();
    for (const name of ['nothing', 'constructor', '__proto__', 'toString']) expect(outcomeOf(await call(name, {}))).toMatchObject({ ok: false, problem: { code: 'unknown-call' } });
    for (const input of [{}, { job: 5 }, { job: '../x' }, null, 'text']) expect(outcomeOf(await call('cancel', input))).toMatchObject({ ok: false, problem: { code: 'bad-call' } });
    expect(served).toEqual([]);
  });

  it('tells a failure of the program without its inner words', async () => {
    const { call } = await admitted();
    const outcome = outcomeOf(await call('newProject', {}));
    expect(outcome).toMatchObject({ ok: false, problem: { code: 'unexpected' } });
    expect(JSON.stringify(outcome)).not.toMatch(/secret|TypeError|someone/);
  });

  it('carries bytes there whole', async () => {
    const { call } = await admitted();
    expect(outcomeOf(await call('offerFile', { name: 'plan.png', bytes: new Uint8Array(3_000_000).fill(9) }))).toEqual({ ok: true, value: { file: 'f', name: 'plan.png', size: 3_000_000 } });
  });

  it('reads no more of a body than its limit, whatever its header claims', async () => {
    const { port, headers, call } = await admitted({ body: 1000, fileBody: 5000 });
    expect((await call('offerFile', { name: 'a', bytes: new Uint8Array(3000) })).status).toBe(200);
    expect(outcomeOf(await call('offerFile', { name: 'a', bytes: new Uint8Array(9000) }))).toMatchObject({ problem: { code: 'too-big' } });
    // Chunked: no length is announced, so only counting can stop it.
    const answer = await new Promise<number>((resolve) => {
      const sent = request({ host: '127.0.0.1', port, path: '/call/cancel', method: 'POST', headers: { ...headers, 'transfer-encoding': 'chunked' } }, (reply) => { reply.resume(); resolve(reply.statusCode ?? 0); });
      sent.on('error', () => { resolve(0); });
      sent.write(Buffer.alloc(5000));
      sent.end();
    });
    expect(answer).toBe(413);
  });

  it('waits for no slow request and holds only so many connections', async () => {
    for (const limit of Object.values(HOST_LIMITS)) expect(limit).toBeLessThan(Number.POSITIVE_INFINITY);
    /** Resolves when the host ends the connection. */
    const ended = (port: number, text: string) => new Promise<void>((resolve) => { const socket = connect({ host: '127.0.0.1', port }); socket.write(text); socket.on('error', () => undefined).on('close', () => { resolve(); }).resume(); });
    await ended((await start({ headMs: 40 })).port, 'GET / HTTP/1.1\r\nHost: 127.0.0.1');
    await host?.close();
    const slow = (await start({ headMs: 40, arrivalMs: 80 })).port;
    await ended(slow, `POST /session HTTP/1.1\r\nHost: 127.0.0.1:${slow}\r\nContent-Type: application/json\r\nContent-Length: 900\r\n\r\n{`);
    await host?.close();
    const { port } = await start({ connections: 2 });
    const held = [connect({ host: '127.0.0.1', port }), connect({ host: '127.0.0.1', port })];
    await Promise.all(held.map((socket) => new Promise((resolve) => { socket.on('connect', resolve); })));
    await ended(port, '');
    for (const socket of held) socket.destroy();
  }, 5000);

  it('sends progress to a page that listens, one line each, and counts its pages', async () => {
    const { port, headers } = await admitted();
    const line = await new Promise<string>((resolve, reject) => {
      const sent = request({ host: '127.0.0.1', port, path: '/progress', headers }, (answer) => {
        let text = '';
        answer.on('data', (part: Buffer) => { text += part.toString(); if (text === '\n') { expect(host?.pages()).toBe(1); tell({ job: 'j', done: 0.5, note: 'Reading' }); } else { sent.destroy(); resolve(text.trim()); } });
      });
      sent.on('error', reject);
      sent.end();
    });
    expect(JSON.parse(line)).toEqual({ job: 'j', done: 0.5, note: 'Reading' });
    await expect.poll(() => host?.pages()).toBe(0);
  });

  it('on a port that is taken says so by rejecting', async () => {
    const { port } = await start();
    await expect(startHost({ services: {} as HostServices, port, onProgress: () => () => undefined, readAsset: async () => null })).rejects.toMatchObject({ code: 'EADDRINUSE' });
  });
});
