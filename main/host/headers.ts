/**
 * What the window's pages may do, the same for the shell and the loopback host: own files only, no inline script or
 * style, nothing from elsewhere. 'wasm-unsafe-eval' is for the image decoders of the PDF reader.
 */
export const CONTENT_POLICY = [
  "default-src 'none'", "script-src 'self' 'wasm-unsafe-eval'", "style-src 'self'", "img-src 'self' blob: data:", "font-src 'self' blob: data:",
  "connect-src 'self'", "worker-src 'self'", "base-uri 'none'", "form-action 'none'", "frame-ancestors 'none'", "object-src 'none'",
].join('; ');

/** Sent with every answer. */
export const PAGE_HEADERS: Readonly<Record<string, string>> = {
  'content-security-policy': CONTENT_POLICY,
  'x-content-type-options': 'nosniff',
  'referrer-policy': 'no-referrer',
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-embedder-policy': 'require-corp',
  'cross-origin-resource-policy': 'same-origin',
  'permissions-policy': 'camera=(), microphone=(), geolocation=(), usb=(), serial=(), hid=(), payment=()',
  'x-frame-options': 'DENY',
  'cache-control': 'no-store',
};
