import { describe, expect, it } from 'vitest';
import { LinewashError } from '../../../lib/plane/errors.ts';
import { breathe, type CallContext, connect, handOver, type Port, serve } from '../../../lib/web/wire/rpc.ts';

const service = {
  async double({ n }: { n: number }): Promise<number> {
    return 2 * n;
  },
  async fail(): Promise<never> {
    throw new LinewashError({
      tag: 'format',
      message: 'is cut',
      file: 'a.fits',
      advice: 'copy it again',
      faults: [{ path: '$.x', message: 'odd' }],
    });
  },
  async break(): Promise<never> {
    throw new TypeError('not a function');
  },
  async count({ to }: { to: number }, { signal, progress }: CallContext): Promise<number> {
    for (let i = 1; i <= to; i++) {
      if (signal.aborted) throw new LinewashError({ tag: 'cancelled', message: 'cancelled' });
      progress(i / to);
      await breathe();
    }
    return to;
  },
  async pixels(): Promise<{ data: Uint8Array }> {
    const data = new Uint8Array(1000);
    return handOver({ data }, [data.buffer]);
  },
};

const connected = () => {
  const { port1, port2 } = new MessageChannel();
  serve(port1 as unknown as Port, service);
  const connection = connect<typeof service>(port2 as unknown as Port);
  port1.start();
  port2.start();
  return { ...connection, close: () => port1.close() };
};

describe('calls through a port', () => {
  it('bring results, each to its caller', async () => {
    const { call, close } = connected();
    expect(await Promise.all([call('double', { n: 1 }), call('double', { n: 2 }), call('double', { n: 3 })])).toEqual([
      2, 4, 6,
    ]);
    expect((await call('pixels', undefined as never)).data.length).toBe(1000);
    close();
  });

  it('bring errors of ours with all their fields', async () => {
    const { call, close } = connected();
    const error = await call('fail', undefined as never).catch((e) => e);
    expect(error).toBeInstanceOf(LinewashError);
    expect(error.toFields()).toEqual({
      tag: 'format',
      message: 'is cut',
      file: 'a.fits',
      advice: 'copy it again',
      faults: [{ path: '$.x', message: 'odd' }],
    });
    close();
  });

  it('bring defects as errors of another kind', async () => {
    const { call, close } = connected();
    const error = await call('break', undefined as never).catch((e) => e);
    expect(error).not.toBeInstanceOf(LinewashError);
    expect(error.message).toContain('not a function');
    close();
  });

  it('tell their progress and stop when cancelled', async () => {
    const { call, close } = connected();
    const control = new AbortController();
    const seen: number[] = [];
    const progress = (done: number) => {
      seen.push(done);
      if (done >= 0.01) control.abort();
    };
    const error = await call('count', { to: 100_000 }, { signal: control.signal, progress }).catch((e) => e);
    expect(error.tag).toBe('cancelled');
    expect(seen[0]).toBeCloseTo(1e-5);
    expect(seen.length).toBeLessThan(100_000);
    expect(await call('count', { to: 3 })).toBe(3);
    close();
  });

  it('cancelled before they begin do not run', async () => {
    const { call, close } = connected();
    const error = await call('count', { to: 10 }, { signal: AbortSignal.abort() }).catch((e) => e);
    expect(error.tag).toBe('cancelled');
    close();
  });

  it('fail at once when the other side is gone', async () => {
    const { call, fail, close } = connected();
    const open = call('count', { to: 1e9 }).catch((e) => e);
    fail(new Error('the worker stopped'));
    expect((await open).message).toBe('the worker stopped');
    await expect(call('double', { n: 1 })).rejects.toThrow('the worker stopped');
    close();
  });

  it('that were answered are not cancelled later, and leave nothing on the signal', async () => {
    const { port1, port2 } = new MessageChannel();
    serve(port1 as unknown as Port, service);
    const posted: unknown[] = [];
    const watched: Port = {
      postMessage(message, transfer) {
        posted.push(message);
        port2.postMessage(message, transfer);
      },
      addEventListener: (type, listener) => port2.addEventListener(type, listener),
    };
    const { call } = connect<typeof service>(watched);
    port1.start();
    port2.start();
    const control = new AbortController();
    const { signal } = control;
    expect(await call('double', { n: 4 }, { signal })).toBe(8);
    await expect(call('break', undefined as never, { signal })).rejects.toThrow();
    const open = call('count', { to: 1e6 }, { signal }).catch((e) => e);
    expect(posted.length).toBe(3);
    control.abort();
    expect((await open).tag).toBe('cancelled');
    expect(posted.slice(3)).toEqual([{ cancel: 2 }]);
    port1.close();
  });

  it('hand over buffers that are marked, and copy others', async () => {
    const kept: Record<string, Uint8Array> = {};
    const { port1, port2 } = new MessageChannel();
    const pixels = async (marked: boolean) => {
      const data = new Uint8Array(8).fill(7);
      kept[String(marked)] = data;
      return marked ? handOver({ data }, [data.buffer]) : { data };
    };
    serve(port1 as unknown as Port, { pixels });
    const { call } = connect<{ pixels: typeof pixels }>(port2 as unknown as Port);
    port1.start();
    port2.start();
    for (const marked of [true, false]) expect([...(await call('pixels', marked)).data]).toEqual(new Array(8).fill(7));
    expect([kept.true!.length, kept.false!.length]).toEqual([0, 8]);
    port1.close();
  });
});
