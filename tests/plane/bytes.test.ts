import { describe, expect, it } from 'vitest';
import { checkRange, fillSink, memorySink, memorySource } from '../../lib/plane/bytes.ts';

const rising = (count: number) => Uint8Array.from({ length: count }, (_, i) => i);

describe('bytes in memory', () => {
  it('are read from anywhere, up to the end', async () => {
    const source = memorySource('some.fits', rising(20).subarray(5));
    expect([source.name, source.size]).toEqual(['some.fits', 15]);
    expect(await source.read(0, 2)).toEqual(Uint8Array.of(5, 6));
    expect(await source.read(12, 3)).toEqual(Uint8Array.of(17, 18, 19));
    expect(await source.read(15, 0)).toHaveLength(0);
  });

  it.each([
    [-1, 4],
    [4, -1],
    [0, 16],
    [15, 1],
    [16, 0],
    [Number.NaN, 1],
    [0, Number.NaN],
    [0, Number.POSITIVE_INFINITY],
  ])('refuse %d and %d more', async (offset, length) => {
    const fault = { name: 'LinewashError', tag: 'format', file: 'some.fits' };
    await expect(memorySource('some.fits', rising(15)).read(offset, length)).rejects.toMatchObject(fault);
    expect(() => checkRange('some.fits', 15, offset, length)).toThrow(expect.objectContaining(fault));
  });
});

describe('a sink in memory', () => {
  it('takes bytes in any order, and zeros stand where none were written', async () => {
    const sink = memorySink();
    await sink.writeAt(6, Uint8Array.of(6, 7));
    await sink.writeAt(1, Uint8Array.of(1, 2));
    await sink.close();
    expect(sink.bytes()).toEqual(Uint8Array.of(0, 1, 2, 0, 0, 0, 6, 7));
  });

  it('grows as it must and keeps what it holds', async () => {
    const sink = memorySink();
    for (const at of [0, 65535, 65536, 131072, 1_000_000]) await sink.writeAt(at, Uint8Array.of(1 + (at % 251)));
    const bytes = sink.bytes();
    expect(bytes).toHaveLength(1_000_001);
    for (const at of [0, 65535, 65536, 131072, 1_000_000]) expect(bytes[at]).toBe(1 + (at % 251));
    expect(bytes.reduce((n, v) => n + (v > 0 ? 1 : 0), 0)).toBe(5);
  });

  it('gives a copy, and nothing once it was dropped', async () => {
    const sink = memorySink();
    await sink.writeAt(0, Uint8Array.of(1, 2));
    const bytes = sink.bytes();
    await sink.writeAt(0, Uint8Array.of(9));
    expect(bytes).toEqual(Uint8Array.of(1, 2));
    await sink.abort();
    expect(sink.bytes()).toHaveLength(0);
  });
});

describe('filling a sink', () => {
  const watched = (faults: { readonly write?: Error; readonly close?: Error }) => {
    const calls: string[] = [];
    const call = async (name: 'write' | 'close') => {
      calls.push(name);
      if (faults[name]) throw faults[name];
    };
    return {
      calls,
      writeAt: () => call('write'),
      close: () => call('close'),
      abort: async () => void calls.push('abort'),
    };
  };
  const write = (sink: { writeAt(offset: number, bytes: Uint8Array): Promise<void> }) => sink.writeAt(0, rising(1));

  it('closes it when all is written', async () => {
    const sink = watched({});
    expect(await fillSink(sink, (given) => write(given).then(() => 'done'))).toBe('done');
    expect(sink.calls).toEqual(['write', 'close']);
  });

  it('drops what was written where writing fails, and where closing does', async () => {
    const fault = new Error('no space');
    const [unwritten, unclosed] = [watched({ write: fault }), watched({ close: fault })];
    await expect(fillSink(unwritten, write)).rejects.toBe(fault);
    await expect(fillSink(unclosed, write)).rejects.toBe(fault);
    expect([unwritten.calls, unclosed.calls]).toEqual([
      ['write', 'abort'],
      ['write', 'close', 'abort'],
    ]);
  });
});
