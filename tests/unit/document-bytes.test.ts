import { describe, expect, it } from 'vitest';
import { documentBytes } from '../../renderer/document-bytes';
import { hostApi } from '../../shared-core/host-api';
import { plan, wall } from './checks-plan';

describe('a document as the bytes of its JSON', () => {
  const large = plan(Array.from({ length: 2500 }, (_, i) => wall(`W${i}`, [[i, 0], [i, 9]])));

  it('is the same document, whatever its size, and leaves turns to the window while it is written', async () => {
    for (const document of [plan([]), plan([wall('W "é"', [[0, 0], [1, 1]])]), large]) {
      let turns = 0;
      const bytes = await documentBytes(document, () => { turns += 1; return Promise.resolve(); });
      expect(JSON.parse(new TextDecoder().decode(bytes))).toEqual(JSON.parse(JSON.stringify(document)));
      expect(turns).toBe(Math.floor(Object.keys(document.entities).length / 1000));
    }
  });

  it('is taken by every call that takes a document, and checked as any other', async () => {
    const bytes = await documentBytes(large);
    for (const name of ['saveProject', 'keepRecovery', 'exportPdf', 'exportList', 'exportTable'] as const) {
      const rest = { project: 'p', as: false, format: 'csv' };
      const read = hostApi[name].input.safeParse({ ...rest, document: bytes });
      expect(read.data?.document, name).toEqual(JSON.parse(JSON.stringify(large)));
      for (const spoiled of [bytes.slice(0, -1), new TextEncoder().encode('{"formatVersion":1}'), new Uint8Array([0xff])]) expect(hostApi[name].input.safeParse({ ...rest, document: spoiled }).success, name).toBe(false);
    }
  });
});
