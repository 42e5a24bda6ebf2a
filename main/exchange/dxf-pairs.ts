import { BINARY_DXF_HEAD, isBinaryDxf } from '../../shared-core/exchange/index';
import type { DxfPairs } from '../../shared-core/exchange/index';
import { PlanRefused } from './problems';

/** Code pages as the header names them, in the words of the Encoding standard. */
const ENCODINGS: Readonly<Record<string, string>> = { 932: 'shift_jis', 936: 'gbk', 949: 'euc-kr', 950: 'big5', 874: 'windows-874' };

function encodingOf(head: string): string {
  const page = /\$DWGCODEPAGE[^\d]{1,20}3\s+(?:ANSI_|DOS)?(\d{3,5})/i.exec(head)?.[1] ?? '1252';
  return ENCODINGS[page] ?? (/^125\d$/.test(page) ? `windows-${page}` : 'windows-1252');
}

/** UTF-8 where the bytes are UTF-8, else the code page that the header names. */
function decoder(bytes: Uint8Array): (part: Uint8Array) => string {
  try {
    const strict = new TextDecoder('utf-8', { fatal: true });
    strict.decode(bytes);
    return (part) => new TextDecoder('utf-8').decode(part);
  } catch {
    const page = new TextDecoder(encodingOf(Buffer.from(bytes.subarray(0, 20_000)).toString('latin1').replaceAll('\0', '\n')));
    return (part) => page.decode(part);
  }
}

function textPairs(bytes: Uint8Array): DxfPairs {
  const lines = decoder(bytes)(bytes).split(/\r\n|\n|\r/);
  const codes: number[] = [];
  const values: string[] = [];
  for (let i = 0; i + 1 < lines.length; i += 2) {
    const code = Number(lines[i]!.trim());
    if (!Number.isInteger(code) || lines[i]!.trim() === '') throw new PlanRefused('damaged', `Line ${i + 1} should be a group number.`);
    const value = lines[i + 1]!;
    codes.push(code);
    values.push(code === 0 || code === 2 ? value.trim() : value);
    if (code === 0 && value.trim() === 'EOF') return { codes, values, complete: true };
  }
  return { codes, values, complete: false };
}

type Kind = 'text' | 'double' | 'int16' | 'int32' | 'int64' | 'byte' | 'chunk';

/** What follows each group number in a binary file (DXF reference, "Group Code Value Types"). */
function kindOf(code: number): Kind {
  if (code < 10) return 'text';
  if (code < 60) return 'double';
  if (code < 80) return 'int16';
  if (code < 100) return 'int32';
  if (code < 110) return 'text';
  if (code < 150) return 'double';
  if (code < 170) return 'int64';
  if (code < 180) return 'int16';
  if (code >= 210 && code < 240) return 'double';
  if (code >= 270 && code < 290) return 'int16';
  if (code >= 290 && code < 300) return 'byte';
  if (code >= 310 && code < 320) return 'chunk';
  if (code >= 370 && code < 390) return 'int16';
  if (code >= 400 && code < 410) return 'int16';
  if (code >= 420 && code < 430) return 'int32';
  if (code >= 440 && code < 460) return 'int32';
  if (code >= 460 && code < 470) return 'double';
  if (code === 1004) return 'chunk';
  if (code >= 1010 && code < 1060) return 'double';
  if (code >= 1060 && code <= 1070) return 'int16';
  if (code === 1071) return 'int32';
  return 'text';
}

function binaryPairs(bytes: Uint8Array): DxfPairs {
  const data = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  // Texts in a binary file are one by one, so the whole-file UTF-8 question is asked of each.
  const strict = new TextDecoder('utf-8', { fatal: true });
  const page = new TextDecoder(encodingOf(Buffer.from(bytes.subarray(0, 20_000)).toString('latin1').replaceAll('\0', '\n')));
  const text = (part: Uint8Array): string => { try { return strict.decode(part); } catch { return page.decode(part); } };
  const codes: number[] = [];
  const values: string[] = [];
  let at = BINARY_DXF_HEAD;
  // Since R13 a group number takes two bytes; before, one (255 announces a longer one).
  const wide = bytes[at + 1] === 0;
  const sizes: Record<Exclude<Kind, 'text' | 'chunk'>, number> = { double: 8, int16: 2, int32: 4, int64: 8, byte: 1 };
  while (at < bytes.length) {
    let code = bytes[at]!;
    if (wide) {
      if (at + 2 > bytes.length) break;
      code = data.getUint16(at, true);
      at += 2;
    } else if (code === 255) {
      if (at + 3 > bytes.length) break;
      code = data.getUint16(at + 1, true);
      at += 3;
    } else at += 1;
    const kind = kindOf(code);
    let value: string;
    if (kind === 'text') {
      const end = bytes.indexOf(0, at);
      if (end < 0) break;
      value = text(bytes.subarray(at, end));
      at = end + 1;
    } else if (kind === 'chunk') {
      const length = bytes[at] ?? 0;
      value = '';
      at += 1 + length;
    } else {
      if (at + sizes[kind] > bytes.length) break;
      value = String(kind === 'double' ? data.getFloat64(at, true) : kind === 'int16' ? data.getInt16(at, true)
        : kind === 'int32' ? data.getInt32(at, true) : kind === 'int64' ? data.getBigInt64(at, true) : bytes[at]!);
      at += sizes[kind];
    }
    codes.push(code);
    values.push(value);
    if (code === 0 && value === 'EOF') return { codes, values, complete: true };
  }
  return { codes, values, complete: false };
}

/**
 * The group numbers and values of a DXF, text or binary.
 * @throws PlanRefused  truncated (no EOF group), damaged
 */
export function dxfPairs(bytes: Uint8Array): DxfPairs {
  const pairs = isBinaryDxf(bytes) ? binaryPairs(bytes) : textPairs(bytes);
  if (!pairs.complete) throw new PlanRefused('truncated', 'Its closing EOF group is missing.');
  return pairs;
}
