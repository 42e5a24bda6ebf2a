import { crc32, deflateRawSync } from 'node:zlib';

export interface ZipEntry {
  readonly name: string | Uint8Array;
  readonly bytes: Uint8Array;
  readonly packed?: boolean;
  /** Overrides for lies. */
  readonly statedSize?: number;
  readonly method?: number;
}

/** Writes an archive entry by entry after the published layout (PKWARE APPNOTE 6.3, sections 4.3.7, 4.3.12, 4.3.16), lies included. */
export function writeZip(entries: readonly ZipEntry[]): Uint8Array {
  const local: Buffer[] = [];
  const central: Buffer[] = [];
  let at = 0;
  for (const entry of entries) {
    const name = Buffer.from(entry.name as Uint8Array);
    const data = entry.packed ? deflateRawSync(entry.bytes) : Buffer.from(entry.bytes);
    const head = Buffer.alloc(26);
    head.writeUInt16LE(20, 0); head.writeUInt16LE(0x800, 2); head.writeUInt16LE(entry.method ?? (entry.packed ? 8 : 0), 4);
    head.writeUInt16LE(0x21, 8); head.writeUInt32LE(crc32(entry.bytes), 10); head.writeUInt32LE(data.length, 14);
    head.writeUInt32LE(entry.statedSize ?? entry.bytes.length, 18); head.writeUInt16LE(name.length, 22);
    const start = at;
    const piece = Buffer.concat([Buffer.from('PK\x03\x04', 'latin1'), head, name, data]);
    local.push(piece); at += piece.length;
    const tail = Buffer.alloc(14);
    tail.writeUInt32LE(start, 10);
    central.push(Buffer.concat([Buffer.from('PK\x01\x02', 'latin1'), Buffer.from([20, 0]), head, tail, name]));
  }
  const directory = Buffer.concat(central);
  const end = Buffer.alloc(18);
  end.writeUInt16LE(entries.length, 4); end.writeUInt16LE(entries.length, 6); end.writeUInt32LE(directory.length, 8); end.writeUInt32LE(at, 12);
  return new Uint8Array(Buffer.concat([...local, directory, Buffer.from('PK\x05\x06', 'latin1'), end]));
}

