import '../../playground/elements/wall/wall.ts';
import type { LitElement } from 'lit';
import { CATALOGUE } from '../../lib/palettes/catalogue.ts';
import { layMap, type MapPlace } from '../../playground/model/wall-map.ts';
import { $hung, $pinned } from '../../playground/state/candidates.ts';
import { $masters } from '../../playground/state/masters.ts';
import { $wideWall } from '../../playground/state/panels.ts';
import { $recipe, beginWith } from '../../playground/state/recipe.ts';
import { $figures, $mapped, $order, $part, $wall } from '../../playground/state/wall.ts';
import { equal, ok } from './assert.ts';
import { clean, find, master, mount, preview, settled, spoken, until } from './support.ts';

const apart = (places: readonly MapPlace[]): boolean =>
  places.every((a, i) =>
    places
      .slice(i + 1)
      .every((b) => a.x + a.width <= b.x || b.x + b.width <= a.x || a.y + a.height <= b.y || b.y + b.height <= a.y),
  );

describe('the layout of a map', () => {
  const room = { width: 900, height: 600 };

  it('has more noise to the right, lines farther apart above, and pictures beside each other', () => {
    // 24 candidates at places that a generator draws, a third of them at one and the same.
    let seed = 7;
    const draw = () => {
      seed = (seed * 1_103_515_245 + 12_345) % 2 ** 31;
      return seed / 2 ** 31;
    };
    for (let round = 0; round < 20; round++) {
      const points = Array.from({ length: 24 }, (_, i) => {
        const same = i % 3 === 0;
        return { id: `${i}`, noise: same ? 0.01 : 0.002 * 20 ** draw(), separation: same ? 30 : 80 * draw() };
      });
      const { places } = layMap(points, room, 1.5);
      equal(places.length, 24);
      ok(apart(places), `round ${round}`);
      for (const { x, y, width, height } of places)
        ok(x >= 0 && y >= 0 && x + width <= room.width && y + height <= room.height, 'inside');
      for (const a of points)
        for (const b of points) {
          const [p, q] = [a, b].map(({ id }) => places.find((place) => place.id === id)!.point);
          if (a.noise < b.noise) ok(p!.x < q!.x, 'noise');
          if (a.separation < b.separation) ok(p!.y > q!.y, 'separation');
        }
      equal(
        places.map(({ id }) => points.find((point) => point.id === id)!.noise),
        points.map(({ noise }) => noise).sort((a, b) => a - b),
      );
    }
  });

  it('has ticks of both figures, whatever their range', () => {
    for (const [low, high] of [
      [0.001, 0.2],
      [0.006, 0.013],
      [0, 0.02],
    ] as const) {
      const ends = [
        { id: 'a', noise: low, separation: 3 },
        { id: 'b', noise: high, separation: 71 },
      ];
      const { noise, separation } = layMap(ends, room, 1.5);
      for (const ticks of [noise, separation]) ok(ticks.length >= 3 && ticks.length <= 14, `${low}: ${ticks.length}`);
      ok(
        noise.every(({ value }) => value >= low * 0.999 && value <= high * 1.001),
        'within',
      );
    }
    const one = layMap([{ id: 'a', noise: 0.01, separation: 40 }], room, 1.5);
    equal(one.places.length, 1);
    equal(layMap([], room, 1.5).places, []);
  });
});

describe('the wall as a map', () => {
  let wall: LitElement;
  const map = () => find<LitElement>(wall, 'lw-wall-map');
  const uses = () => [...map().shadowRoot!.querySelectorAll<HTMLButtonElement>('.use')];
  const figures = {
    ember: { separation: 20, noise: 0.03, outside: 0 },
    sho: { separation: 61.4, noise: 0.05, outside: 0 },
    hoo: { separation: 44, noise: 0.01, outside: 0 },
    calm: { separation: undefined, noise: 0.01, outside: 0 },
  };
  const open = async (width: number) => {
    wall.style.width = `${width}px`;
    find<HTMLButtonElement>(wall, 'button.map').click();
    await settled(wall);
    await new Promise((resolve) => setTimeout(resolve, 100));
  };

  beforeEach(async () => {
    $masters.set([master('S'), master('H'), master('O')]);
    $hung.set([]);
    $pinned.set([]);
    $order.set('listed');
    $part.set(undefined);
    $mapped.set(false);
    $wideWall.set(false);
    $wall.set({ ember: preview(), sho: preview(), hoo: preview() });
    beginWith(CATALOGUE.find(({ id }) => id === 'ember')!.recipe);
    wall = await mount('lw-wall');
  });

  it('has a button for each mix, least noise first, with both figures in its name', async () => {
    await open(760);
    await until(() => wall.shadowRoot!.querySelector('lw-wall-map')?.shadowRoot !== null);
    $figures.set(figures);
    await until(() => uses().length === 3);
    await settled(wall);
    equal(
      (await spoken('button')).map(({ name }) => name).filter((name) => name.includes('separation')),
      ['HOO: noise 10 ‰, separation ΔE 44', 'Ember: noise 30 ‰, separation ΔE 20', 'SHO: noise 50 ‰, separation ΔE 61'],
    );
    equal(
      uses().map((use) => use.getAttribute('aria-pressed')),
      ['false', 'true', 'false'],
    );
    const [hoo, ember, sho] = uses().map((use) => use.getBoundingClientRect());
    ok(hoo!.x < ember!.x && ember!.x < sho!.x && sho!.y < hoo!.y && hoo!.y < ember!.y, 'where they lie');
    const canvas = find<HTMLCanvasElement>(map(), '.use lw-band', 'canvas').getBoundingClientRect();
    ok(Math.abs(canvas.width / canvas.height - 60 / 40) < 0.03, `shape ${canvas.width} × ${canvas.height}`);
    const boxes = (selector: string) =>
      [...map().shadowRoot!.querySelectorAll(selector)].map((e) => e.getBoundingClientRect());
    const ends = () => boxes('.ends span');
    const stands = (number: DOMRect) => number.height > 0 && ends().every((end) => number.bottom <= end.top + 1);
    // They are laid out once their size is known.
    await until(() => boxes('.noise text').every(stands));
    ok(find(map(), '[role=status]').textContent!.includes('a single line: Calm'), 'who is not there');
    await clean(wall);
    uses()[2]!.click();
    equal($recipe.get().name, 'SHO');
  });

  it('stays in rows where there is no room, and says so', async () => {
    await open(372);
    equal(wall.shadowRoot!.querySelector('lw-wall-map'), null);
    ok(find(wall, '.note').textContent!.includes('needs a wider window'), 'a sentence');
    ok(wall.shadowRoot!.querySelectorAll('li').length > 10, 'rows');
    await clean(wall);
    find<HTMLButtonElement>(wall, 'button.map').click();
    await settled(wall);
    equal(find(wall, '.note').textContent, '');
  });

  it('widens a row at the foot of the page', async () => {
    Object.assign(wall, { strip: true });
    await settled(wall);
    find<HTMLButtonElement>(wall, 'button.map').click();
    equal([$mapped.get(), $wideWall.get()], [true, true]);
    $wideWall.set(false);
  });
});
