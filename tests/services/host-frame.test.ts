import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { packFrame, unpackFrame } from '../../shared-core/host-frame';

const bytes = fc.uint8Array({ maxLength: 40 });
const { value } = fc.letrec((tie) => ({
  value: fc.oneof({ maxDepth: 4 }, fc.string(), fc.integer(), fc.boolean(), fc.constant(null), bytes, fc.array(tie('value'), { maxLength: 4 }),
    fc.dictionary(fc.string().filter((key) => key !== '__proto__'), tie('value'), { maxKeys: 4, noNullPrototype: true })),
}));

describe('a frame', () => {
  it('gives back what was put in, bytes as bytes', () => {
    fc.assert(fc.property(value, (item) => { expect(unpackFrame(packFrame(item))).toEqual({ value: item }); }));
  });
  it('cut off anywhere, or with bytes added, is no frame', () => {
    const frame = packFrame({ name: 'plan.png', bytes: new Uint8Array(20).fill(7), more: [new Uint8Array(3)] });
    for (let length = 0; length < frame.length; length += 1) expect(unpackFrame(frame.slice(0, length))).toBeNull();
    expect(unpackFrame(new Uint8Array([...frame, 0]))).toBeNull();
  });
  it('of any bytes is read or refused, never thrown at', () => {
    fc.assert(fc.property(fc.uint8Array({ maxLength: 200 }), (noise) => { unpackFrame(noise); }));
  });
  it('cannot put bytes into a built-in object or over something that is there', () => {
    const forge = (path: unknown[], inner: unknown = {}) => {
      const head = new TextEncoder().encode(JSON.stringify({ value: inner, parts: [{ path, length: 1 }] }));
      const frame = new Uint8Array(5 + head.length);
      new DataView(frame.buffer).setUint32(0, head.length);
      frame.set(head, 4);
      return unpackFrame(frame);
    };
    expect(forge(['__proto__', 'polluted'])).toBeNull();
    expect(forge(['constructor', 'prototype', 'polluted'])).toBeNull();
    expect(forge(['name'], { name: 'taken' })).toBeNull();
    expect(forge(['name'], { name: null })).toEqual({ value: { name: new Uint8Array(1) } });
    expect(({} as Record<string, unknown>)['polluted']).toBeUndefined();
  });
});
