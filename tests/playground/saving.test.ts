import { LinewashError } from '../../lib/plane/errors.ts';
import { useEngine } from '../../playground/state/engine.ts';
import { $messages } from '../../playground/state/messages.ts';
import { $legend, SAVE_KINDS, save, takesLegend } from '../../playground/state/saving.ts';
import { equal, ok } from './assert.ts';
import './support.ts';

const LARGE = 26_000_000;
const tiff = SAVE_KINDS[0]!;
const scope = globalThis as { showSaveFilePicker?: unknown };
const picker = scope.showSaveFilePicker;

/** Saves a large picture with a picker that does this; tells how it was exported and what was said. */
const saveWith = async (pick: () => Promise<unknown>) => {
  scope.showSaveFilePicker = pick;
  const exported: string[] = [];
  useEngine({
    async call(name: string, wish: { handle?: unknown }) {
      if (name !== 'export') throw new LinewashError({ tag: 'cancelled', message: 'not asked for here' });
      exported.push(wish.handle === undefined ? 'download' : 'disk');
      return undefined as never;
    },
    fail() {},
  } as never);
  $messages.set([]);
  await save(tiff, LARGE);
  return { exported, said: $messages.get().map(({ kind, words }) => `${kind}: ${words}`) };
};

describe('saving a large picture', () => {
  afterEach(() => {
    scope.showSaveFilePicker = picker;
    $messages.set([]);
  });

  it('writes to the place that was chosen', async () => {
    const { exported, said } = await saveWith(async () => ({ name: 'chosen.tif' }));
    equal([exported, said], [['disk'], ['note: chosen.tif is saved']]);
  });

  it('does nothing where the user changed their mind', async () => {
    const { exported, said } = await saveWith(() => Promise.reject(new DOMException('closed', 'AbortError')));
    equal([exported, said], [[], []]);
  });

  for (const [what, error] of [
    ['a frame may choose no place', new DOMException('cross-origin frame', 'SecurityError')],
    ['the click is too long ago', new DOMException('no user activation', 'NotAllowedError')],
    ['the picker breaks', new TypeError('unexpected')],
  ] as const)
    it(`is a download where ${what}`, async () => {
      const { exported, said } = await saveWith(() => Promise.reject(error));
      equal([exported, said.length], [['download'], 1]);
    });
});

describe('a legend', () => {
  it('goes with every kind of picture to look at, and with no data', async () => {
    const asked: (boolean | undefined)[] = [];
    useEngine({
      async call(name: string, wish: { legend?: boolean }) {
        if (name !== 'export') throw new LinewashError({ tag: 'cancelled', message: 'not asked for here' });
        asked.push(wish.legend);
        return undefined as never;
      },
      fail() {},
    } as never);
    $legend.set(true);
    for (const kind of SAVE_KINDS) if (kind.sample !== undefined) await save(kind, 100);
    $legend.set(false);
    await save(tiff, 100);
    equal(asked, [...SAVE_KINDS.filter(({ sample }) => sample).map(takesLegend), false]);
    ok(asked.includes(true), 'some have one');
    equal(
      SAVE_KINDS.filter((kind) => !takesLegend(kind)).map(({ ending }) => ending),
      ['fits', 'json'],
    );
  });
});
