import { describe, expect, it } from 'vitest';
import { LinewashError, throwIfCancelled } from '../../lib/plane/errors.ts';
import { fewRemembered, memoAsync } from '../../lib/plane/memo.ts';

const turn = () => new Promise((resolve) => setTimeout(resolve, 1));

/** Work in three steps that ends where its signal says so. */
const work = async (signal: AbortSignal | undefined): Promise<string> => {
  for (let step = 0; step < 3; step++) {
    await turn();
    throwIfCancelled(signal);
  }
  return 'done';
};

describe('work that is remembered', () => {
  it('is done once for all who ask, and again after a failure', async () => {
    let times = 0;
    const ask = memoAsync(async () => {
      times++;
      await turn();
      if (times === 1) throw new RangeError('first');
      return times;
    });
    const both = await Promise.allSettled([ask('a', {}), ask('a', {})]);
    expect(both.map(({ status }) => status)).toEqual(['rejected', 'rejected']);
    expect([await ask('a', {}), await ask('a', {}), times]).toEqual([2, 2, 2]);
  });

  it('goes on for those who wait when whoever asked first gives up', async () => {
    const once = fewRemembered();
    const asks = [
      memoAsync((_key, { signal }) => work(signal)),
      (_key: string, { signal }: { signal?: AbortSignal }) => once('a', () => work(signal)),
    ];
    for (const ask of asks) {
      const [first, second, third] = [new AbortController(), new AbortController(), new AbortController()];
      const answers = [first, second, third].map(({ signal }) => ask('a', { signal }));
      const settled = Promise.allSettled(answers);
      await turn();
      first.abort();
      third.abort();
      const [gaveUp, waits, gaveUpToo] = await settled;
      expect(waits).toEqual({ status: 'fulfilled', value: 'done' });
      for (const one of [gaveUp!, gaveUpToo!].filter(({ status }) => status === 'rejected'))
        expect((one as PromiseRejectedResult).reason).toBeInstanceOf(LinewashError);
      expect(gaveUp!.status).toBe('rejected');
    }
  });
});
