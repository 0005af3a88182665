import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { type Port, serve } from '../../../lib/web/wire/rpc.ts';
import type { BandFindings, BandWork } from '../../../lib/web/workers/band-work.ts';
import { latePool } from '../../../lib/web/workers/late-pool.ts';
import { canStartWorkers, HELPER, showLiveness, whenEnded } from '../../../lib/web/workers/liveness.ts';
import type { Pool } from '../../../lib/web/workers/pool.ts';
import { startHelper } from '../../../lib/web/workers/start-worker.ts';
import type { MasterBytes } from '../../../lib/web/workers/worker-service.ts';

const ADDRESS = 'https://page.example/worker.js';

/** Locks as the Web Locks API has them, as far as they are used: each name is held by one at a time, in order. */
const locksOf = () => {
  const queues = new Map<string, Promise<unknown>>();
  const holders = new Map<string, () => void>();
  return {
    request(name: string, { signal }: { signal?: AbortSignal }, held: () => Promise<void>): Promise<void> {
      const before = queues.get(name) ?? Promise.resolve();
      const mine = before.then(() => {
        if (signal?.aborted) throw signal.reason;
        return Promise.race([held(), new Promise<void>((resolve) => holders.set(name, resolve))]);
      });
      queues.set(
        name,
        mine.catch(() => {}),
      );
      return mine;
    },
    /** What the browser does with the locks of a worker that ends. */
    release: (name: string) => holders.get(name)!(),
  };
};

/** A worker whose other end is served here. */
class FakeWorker extends EventTarget {
  static made: FakeWorker[] = [];
  readonly near: MessagePort;
  terminated = false;
  constructor(
    readonly address: string,
    readonly options: { readonly type: string; readonly name: string },
  ) {
    super();
    FakeWorker.made.push(this);
    const { port1, port2 } = new MessageChannel();
    this.near = port1;
    port1.onmessage = ({ data }) => this.dispatchEvent(new MessageEvent('message', { data }));
    serve(port2 as unknown as Port, {
      showLiveness: () => showLiveness(this.options.name),
      echo: async (word) => word,
    });
    port2.start();
  }
  postMessage(message: unknown, transfer: Transferable[]): void {
    this.near.postMessage(message, transfer);
  }
  terminate(): void {
    this.terminated = true;
    this.near.close();
  }
}

const moment = () => new Promise((resolve) => setTimeout(resolve, 15));

describe('a helper', () => {
  let locks: ReturnType<typeof locksOf>;
  beforeEach(() => {
    locks = locksOf();
    FakeWorker.made = [];
    vi.stubGlobal('Worker', FakeWorker);
    vi.stubGlobal('location', { href: ADDRESS });
    vi.stubGlobal('navigator', { locks });
  });
  afterEach(() => {
    for (const worker of FakeWorker.made) worker.terminate();
    vi.unstubAllGlobals();
  });

  it('is this very script once more, under a name of its own', async () => {
    expect(canStartWorkers()).toBe(true);
    const members = [startHelper(() => {}), startHelper(() => {})];
    const { made } = FakeWorker;
    expect(made.map(({ address, options }) => [String(address), options.type])).toEqual([
      [ADDRESS, 'module'],
      [ADDRESS, 'module'],
    ]);
    expect(made.every(({ options }) => options.name.startsWith(HELPER))).toBe(true);
    expect(new Set(made.map(({ options }) => options.name)).size).toBe(2);
    const { call } = members[1]!.connection as unknown as { call(name: string, word: string): Promise<string> };
    expect(await call('echo', 'here')).toBe('here');
  });

  it('that fails to load or stops with an error is told of, with its words', () => {
    const ended = vi.fn();
    startHelper(ended);
    const event = Object.assign(new Event('error', { cancelable: true }), { message: 'out of memory' });
    FakeWorker.made[0]!.dispatchEvent(event);
    expect(ended.mock.calls).toEqual([[new Error('out of memory')]]);
    // The page would else report it as an error of its own.
    expect(event.defaultPrevented).toBe(true);
  });

  it('that ends without a word is told of once its lock is free, but not one that was dismissed', async () => {
    const [ended, dismissed] = [vi.fn(), vi.fn()];
    startHelper(ended);
    const member = startHelper(dismissed);
    await moment();
    expect(ended).not.toHaveBeenCalled();
    member.dismiss();
    expect(FakeWorker.made.map(({ terminated }) => terminated)).toEqual([false, true]);
    for (const { options } of FakeWorker.made) locks.release(options.name);
    await moment();
    expect(ended.mock.calls).toEqual([[expect.any(Error)]]);
    expect(dismissed).not.toHaveBeenCalled();
  });

  it('is told of once only', async () => {
    const ended = vi.fn();
    startHelper(ended);
    await moment();
    FakeWorker.made[0]!.dispatchEvent(Object.assign(new Event('error'), { message: 'broke' }));
    locks.release(FakeWorker.made[0]!.options.name);
    await moment();
    expect(ended).toHaveBeenCalledTimes(1);
  });

  it('works where there are no locks, which pages without a secure connection lack', async () => {
    vi.stubGlobal('navigator', {});
    await showLiveness('a');
    const ended = vi.fn();
    whenEnded('a', ended, new AbortController().signal);
    await moment();
    expect(ended).not.toHaveBeenCalled();
  });

  it('cannot be started where there are no workers, or no address', () => {
    vi.stubGlobal('location', undefined);
    expect(canStartWorkers()).toBe(false);
    vi.stubGlobal('location', { href: ADDRESS });
    vi.stubGlobal('Worker', undefined);
    expect(canStartWorkers()).toBe(false);
  });
});

describe('a pool that comes late', () => {
  const master: MasterBytes = { id: 'h', file: 'h.fits', blob: new Blob([]) };
  const work: BandWork = { y: 3, rows: 4 };
  const result: BandFindings = { means: Float32Array.of(1) };
  const gathered = () => {
    const painting = { make: vi.fn(async () => ({ pixels: new Uint8Array(3) })), close: vi.fn() };
    const pool = {
      size: 2,
      look: vi.fn(async () => result),
      paint: vi.fn(() => painting),
      pieces: vi.fn(),
      forget: vi.fn(),
    };
    return { pool, painting, gather: vi.fn(async (): Promise<Pool> => pool) };
  };

  it('is gathered with the first task, once, and does what it is given', async () => {
    const { pool, gather } = gathered();
    const late = latePool(2, gather);
    expect(late.size).toBe(2);
    late.forget('h');
    expect(gather).not.toHaveBeenCalled();
    const options = { signal: new AbortController().signal };
    expect(await Promise.all([late.look(master, work, options), late.look(master, work, options)])).toEqual([
      result,
      result,
    ]);
    expect(gather).toHaveBeenCalledTimes(1);
    expect(pool.look.mock.calls).toEqual([
      [master, work, options],
      [master, work, options],
    ]);
    late.forget('h');
    await moment();
    expect(pool.forget.mock.calls).toEqual([['h']]);
  });

  it('that could not be gathered is tried again with the next task', async () => {
    const { pool, gather } = gathered();
    gather.mockRejectedValueOnce(new Error('not loaded'));
    const late = latePool(2, gather);
    await expect(late.look(master, work, {})).rejects.toThrow('not loaded');
    late.forget('h');
    expect(await late.look(master, work, {})).toBe(result);
    expect(pool.look).toHaveBeenCalledTimes(1);
  });

  it('paints a picture once, however many bands are asked for before it is there', async () => {
    const { pool, painting, gather } = gathered();
    const shared = { id: 'p', rows: 3 } as unknown as Parameters<Pool['paint']>[0];
    const late = latePool(2, gather).paint(shared);
    late.close();
    const [one, two] = [
      { y: 0, rows: 3 },
      { y: 3, rows: 3 },
    ];
    await Promise.all([late.make(one, {}), late.make(two, {})]);
    expect(pool.paint.mock.calls).toEqual([[shared]]);
    expect(painting.make.mock.calls).toEqual([
      [one, {}],
      [two, {}],
    ]);
    late.close();
    expect(painting.close).toHaveBeenCalledTimes(1);
  });
});
