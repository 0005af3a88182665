import { MessageChannel } from 'node:worker_threads';
import { beforeAll, describe, expect, it } from 'vitest';
import { writeMono } from '../../../lib/formats/fits/write.ts';
import { catalogueRecipe } from '../../../lib/index.ts';
import { memorySink } from '../../../lib/parts/index.ts';
import { createService } from '../../../lib/web/service.ts';
import { type CallContext, connect, type Port, serve } from '../../../lib/web/wire/rpc.ts';
import { createPool, type StartMember } from '../../../lib/web/workers/pool.ts';
import { createHelper } from '../../../lib/web/workers/worker-service.ts';
import { inTurn, pairsOf, someOf } from '../../cases.ts';

const WIDTH = 1210;
const HEIGHT = 901;
const lines = { H: 'h', O: 'o' };
const recipe = catalogueRecipe('hoo');
const context = (): CallContext => ({ signal: new AbortController().signal, progress: () => {} });

/** A hill on a noisy sky; a wedge of exact zeros at the left for H, some pixels without data for O. */
const master = async (line: 'H' | 'O'): Promise<Blob> => {
  const sink = memorySink();
  const writer = writeMono(sink, { width: WIDTH, height: HEIGHT, type: 'f32', cards: [] });
  const data = new Float32Array(WIDTH * HEIGHT);
  let state = line.charCodeAt(0);
  for (let i = 0; i < data.length; i++) {
    const [x, y] = [i % WIDTH, Math.floor(i / WIDTH)];
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    data[i] = 300 + 80 * Math.exp(-(((x - 600) / 200) ** 2) - ((y - 450) / 150) ** 2) + state / 2 ** 28;
    if (line === 'H' && x < y / 20) data[i] = 0;
    if (line === 'O' && (x * y) % 9973 === 1) data[i] = Number.NaN;
  }
  await writer.writeRows(data);
  await writer.finish();
  return new Blob([sink.bytes()]);
};

/** Helpers behind real message ports, and what was started and dismissed. */
const starting = (change: (helper: ReturnType<typeof createHelper>, index: number) => object = (helper) => helper) => {
  const log = { started: 0, dismissed: 0, ended: [] as ((reason: Error) => void)[] };
  const start: StartMember = (ended) => {
    const { port1, port2 } = new MessageChannel();
    serve(port2 as unknown as Port, change(createHelper(), log.started++) as ReturnType<typeof createHelper>);
    log.ended.push(ended);
    return {
      connection: connect(port1 as unknown as Port),
      dismiss() {
        log.dismissed++;
        port1.close();
      },
    };
  };
  return { log, start };
};

describe('a pool of helpers', () => {
  const blobs = new Map<string, Blob>();
  const opened = async (service: ReturnType<typeof createService>) => {
    for (const [line, id] of Object.entries(lines))
      await service.open({ id, name: `${line}.fits`, from: blobs.get(line)! });
    return service;
  };
  const all = async (service: ReturnType<typeof createService>) => {
    const reports = await service.measure({ lines, zeros: 'undefined' }, context());
    const { took: _, ...picture } = await service.preview({ lines, recipe, longest: 1600 }, context());
    return { reports, picture };
  };

  let alone: Awaited<ReturnType<typeof all>>;
  beforeAll(async () => {
    for (const line of ['H', 'O'] as const) blobs.set(line, await master(line));
    alone = await all(await opened(createService()));
  });

  it('finds the numbers, histograms and pixels that one worker finds alone', async () => {
    const { log, start } = starting();
    const shared = await all(await opened(createService(createPool(start, 3))));
    expect(log.started).toBe(3);
    expect(shared).toEqual(alone);
    expect(shared.reports.map(({ measured }) => measured.undefined > 0)).toEqual([true, true]);
  });

  it.skipIf(!inTurn('a helper'))('loses nothing when a helper breaks down at work', async () => {
    const { log, start } = starting((helper, index) => ({
      ...helper,
      look: (task: Parameters<typeof helper.look>[0], call: CallContext) => {
        if (index === 0) log.ended[0]!(new Error('broke down'));
        return helper.look(task, call);
      },
    }));
    const service = await opened(createService(createPool(start, 2)));
    expect(await all(service)).toEqual(alone);
    expect(log.dismissed).toBeGreaterThan(0);
  });

  it.skipIf(!inTurn('alone where'))('works alone where no helper can be started', async () => {
    const start: StartMember = () => {
      throw new Error('no workers here');
    };
    const service = await opened(createService(createPool(start, 2)));
    expect(await all(service)).toEqual(alone);
  });

  const saved = async (service: ReturnType<typeof createService>, file: string, crop = false) => {
    const wish = { lines, recipe, file, sample: file.endsWith('.fits') ? ('f32' as const) : ('u16' as const), crop };
    const blob = await (await opened(service)).export(wish, context());
    return Buffer.from(await blob!.arrayBuffer());
  };

  const known = new Map<string, Promise<Buffer>>();
  const savedAlone = (file: string, crop: boolean) => {
    const key = `${file} ${crop}`;
    const made = known.get(key) ?? saved(createService(), file, crop);
    known.set(key, made);
    return made;
  };

  const FILES = pairsOf(['a.tif', 'a.png', 'a.fits'], [false, true]);
  it.each(someOf(FILES, 2))('makes the file that one worker makes alone: %s, cropped %s', async (file, crop) => {
    const { log, start } = starting();
    const bands: number[] = [];
    const watched: StartMember = (ended) => {
      const member = start(ended);
      const { connection } = member;
      const call: typeof connection.call = (name, ...rest) => {
        if (name === 'makeBand') bands.push(log.started);
        return connection.call(name, ...rest);
      };
      return { ...member, connection: { ...connection, call } };
    };
    const shared = await saved(createService(createPool(watched, 3)), file, crop);
    expect(shared.equals(await savedAlone(file, crop))).toBe(true);
    expect(bands.length).toBeGreaterThan(1);
  });

  it.skipIf(!inTurn('a helper'))(
    'makes the same file when a helper breaks down over a band, or none can be started',
    async () => {
      const crop = FILES.find(([file]) => file === 'a.tif')![1];
      const whole = await savedAlone('a.tif', crop);
      const { log, start } = starting((helper, index) => ({
        ...helper,
        makeBand: (task: Parameters<typeof helper.makeBand>[0]) => {
          if (index === 0) log.ended[0]!(new Error('broke down'));
          return helper.makeBand(task);
        },
      }));
      expect((await saved(createService(createPool(start, 2)), 'a.tif', crop)).equals(whole)).toBe(true);
      expect(log.dismissed).toBeGreaterThan(0);
      const none: StartMember = () => {
        throw new Error('no workers here');
      };
      expect((await saved(createService(createPool(none, 2)), 'a.tif', crop)).equals(whole)).toBe(true);
    },
  );

  it('stops when the call is cancelled, and can be asked again', async () => {
    const { start } = starting();
    const service = await opened(createService(createPool(start, 2)));
    const control = new AbortController();
    const cancelled = service.measure(
      { lines, zeros: 'undefined' },
      { signal: control.signal, progress: () => control.abort() },
    );
    await expect(cancelled).rejects.toMatchObject({ tag: 'cancelled' });
    expect((await service.measure({ lines, zeros: 'undefined' }, context())).length).toBe(2);
  });

  it.skipIf(!inTurn('was cut'))('says what is wrong with a file that was cut', async () => {
    const { start } = starting();
    const service = createService(createPool(start, 2));
    const whole = blobs.get('H')!;
    const broken = Object.assign(whole.slice(0, whole.size), {
      slice: () => ({ arrayBuffer: () => Promise.reject(new Error('gone')) }),
    });
    await expect(service.open({ id: 'x', name: 'H.fits', from: broken as Blob })).rejects.toMatchObject({
      tag: 'format',
      file: 'H.fits',
    });
  });
});
