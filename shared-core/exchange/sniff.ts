/** What a plan file can be. */
export type PlanMedia = 'image/png' | 'image/jpeg' | 'image/webp' | 'image/tiff' | 'application/pdf' | 'image/vnd.dxf' | 'image/svg+xml';

const PDF_WITHIN = 4096;
const TEXT_WITHIN = 4096;

/** The 18 letters that open a binary DXF, before CR LF SUB NUL (DXF reference, "Binary DXF Files"). */
const BINARY_DXF = [0x41, 0x75, 0x74, 0x6f, 0x43, 0x41, 0x44, 0x20, 0x42, 0x69, 0x6e, 0x61, 0x72, 0x79, 0x20, 0x44, 0x58, 0x46, 0x0d, 0x0a, 0x1a, 0x00];

const startsWith = (bytes: Uint8Array, head: readonly number[], at = 0): boolean => head.every((value, i) => bytes[at + i] === value);

/** The first bytes as Latin letters, enough to look for words in. */
const headText = (bytes: Uint8Array, length: number): string => {
  let text = '';
  for (const value of bytes.subarray(0, length)) if (value !== 0) text += String.fromCharCode(value);
  return text;
};

export const isBinaryDxf = (bytes: Uint8Array): boolean => startsWith(bytes, BINARY_DXF);
export const BINARY_DXF_HEAD = BINARY_DXF.length;

/**
 * What the bytes are; the name of a file is never asked.
 * @param bytes  the whole file, any content
 * @returns null when it is no kind of plan that can be read
 * @source PNG 5.2, JFIF 1.02 (SOI), TIFF 6.0 p. 13, RFC 9649 (WebP), ISO 32000-2 7.5.2 (header within the first bytes)
 */
export function planMedia(bytes: Uint8Array): PlanMedia | null {
  if (startsWith(bytes, [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a])) return 'image/png';
  if (startsWith(bytes, [0xff, 0xd8, 0xff])) return 'image/jpeg';
  if (startsWith(bytes, [0x52, 0x49, 0x46, 0x46]) && startsWith(bytes, [0x57, 0x45, 0x42, 0x50], 8)) return 'image/webp';
  if (startsWith(bytes, [0x49, 0x49, 0x2a, 0x00]) || startsWith(bytes, [0x4d, 0x4d, 0x00, 0x2a])) return 'image/tiff';
  if (startsWith(bytes, [0x49, 0x49, 0x2b, 0x00]) || startsWith(bytes, [0x4d, 0x4d, 0x00, 0x2b])) return 'image/tiff';
  if (isBinaryDxf(bytes)) return 'image/vnd.dxf';
  const head = headText(bytes, Math.max(PDF_WITHIN, TEXT_WITHIN));
  if (head.includes('%PDF-')) return 'application/pdf';
  const text = head.replace(/^\u00ef\u00bb\u00bf/, '').trimStart();
  if (/^(<\?xml|<!--|<!DOCTYPE|<svg)/i.test(text) && /<(\w+:)?svg[\s>]/i.test(text)) return 'image/svg+xml';
  // A DXF text is pairs of lines: a number, then a value; comments (999) may come first.
  if (/^(999\s*\r?\n[^\n]*\n\s*)*0\s*\r?\n\s*SECTION\b/i.test(text)) return 'image/vnd.dxf';
  return null;
}
