import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';

const secret = (): string => randomBytes(32).toString('base64url');
/** Digests have one length, so the comparison takes one time whatever was offered. */
const digest = (text: string): Buffer => createHash('sha256').update(text).digest();

/**
 * Who may call the loopback host. A one-time code travels in the address's fragment, which is sent to no server and
 * is worthless once used; the token it buys stays in the page's memory and is sent as a header, since a cookie would
 * go to every port of this machine.
 */
export class Session {
  readonly #now: () => number;
  #code: { readonly digest: Buffer; readonly until: number } | null = null;
  readonly #tokens: Buffer[] = [];

  constructor(now: () => number = Date.now) { this.#now = now; }

  /** A new code, which makes any earlier one void. */
  offerCode(lifetimeMs: number): string {
    const code = secret();
    this.#code = { digest: digest(code), until: this.#now() + lifetimeMs };
    return code;
  }

  /** @returns a token for the right code, once and in time; null otherwise. */
  redeem(code: string): string | null {
    const open = this.#code;
    if (!open || this.#now() > open.until || !timingSafeEqual(open.digest, digest(code))) return null;
    this.#code = null;
    const token = secret();
    this.#tokens.push(digest(token));
    return token;
  }

  admits(token: string): boolean {
    const offered = digest(token);
    return this.#tokens.some((known) => timingSafeEqual(known, offered));
  }
}
