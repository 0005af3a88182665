import '../../playground/elements/season/season.ts';
import '../../playground/elements/target-wall/target-wall.ts';
import type { SeasonQuestion } from '../../lib/web/season.ts';
import type { TargetSheetQuestion } from '../../lib/web/sheet-of-targets.ts';
import { checkedSeason, nightsFrom } from '../../playground/model/season-wish.ts';
import { useEngine } from '../../playground/state/engine.ts';
import { $targets, notePart } from '../../playground/state/history.ts';
import { kept } from '../../playground/state/kept.ts';
import { $masters, $onSamples } from '../../playground/state/masters.ts';
import { $picture } from '../../playground/state/picture.ts';
import { beginWith } from '../../playground/state/recipe.ts';
import { $season, $seasonPlan, changeSeason } from '../../playground/state/season.ts';
import { $seasonShown } from '../../playground/state/season-shown.ts';
import { $drawingTargets, $targetsShown } from '../../playground/state/target-wall.ts';
import { season } from '../../playground/story/example-season.ts';
import { equal, ok } from './assert.ts';
import { clean, find, master, mount, preview, settled, until, withoutWorker } from './support.ts';

const questions: SeasonQuestion[] = [];
const sheets: TargetSheetQuestion[] = [];

/** Two targets, of which the second lacks S and the third is not shown; the mix needs H and O. */
const twoTargets = () => {
  const own = ['S', 'H', 'O'].map((line) => master(line));
  const other = ['H', 'O'].map((line) => master(line, { id: `other-${line}`, file: `other-${line}.fits` }));
  const bare = [master('S', { id: 'bare' })];
  $masters.set(own);
  $onSamples.set(false);
  beginWith({
    name: 'Pair',
    channels: ['H', 'O'],
    matrix: [
      [1, 0],
      [0.5, 0.5],
      [0, 1],
    ],
  });
  const boxes = { feature: { x: 1, y: 2, width: 8, height: 9 } };
  const all = [
    { name: 'Emberwing', masters: own, boxes: {} },
    { name: 'Palehoop', masters: other, boxes },
    { name: 'Brightfen', masters: bare, boxes: {} },
  ];
  notePart({ targets: { current: 'Emberwing', all } });
};

beforeEach(() => {
  localStorage.clear();
  questions.length = 0;
  sheets.length = 0;
  useEngine({
    async call(name: string, argument: never) {
      if (name === 'open' || name === 'close') return argument;
      if (name === 'season') {
        questions.push(argument);
        return season as never;
      }
      if (name === 'targetSheet') {
        sheets.push(argument);
        return new Blob(['sheet']) as never;
      }
      return withoutWorker(name);
    },
    fail() {},
  } as never);
  twoTargets();
  $picture.set(preview());
});

afterEach(() => {
  $seasonShown.set(false);
  $targetsShown.set(false);
  notePart({ targets: undefined });
  $masters.set([]);
  $onSamples.set(true);
});

describe('nights for all targets', () => {
  it('are asked for as a plan writes them, and shown night by night', async () => {
    changeSeason({ nights: nightsFrom('2026-01-10', 3, 6), change: 5, overhead: 10, targets: {} });
    const element = await mount('lw-season');
    await until(() => $seasonPlan.get() !== undefined);
    await settled(element);
    const { targets, ...plan } = questions.at(-1)!;
    equal(plan, {
      nights: ['2026-01-10', '2026-01-11', '2026-01-12'].map((date) => ({ date, dark: '6h' })),
      change: '5m',
      overhead: '10s',
    });
    equal(
      targets.map(({ wish, lines }) => [wish.name, Object.keys(lines).join('')]),
      [
        ['Emberwing', 'SHO'],
        ['Palehoop', 'HO'],
      ],
    );
    const root = element.shadowRoot!;
    const rows = [...root.querySelectorAll('.plan tbody tr')].map((row) =>
      [...row.children].map((cell) => cell.textContent?.trim()).filter((words) => words !== ''),
    );
    equal(rows, [
      ['2026-01-10', 'Emberwing', 'O', '36', '4.00'],
      ['Palehoop', 'H', '–', '1.70'],
      ['2026-01-11', 'nothing'],
    ]);
    const words = root.querySelector('.plan')!.textContent!;
    ok(words.includes('noise −25 % with O +4 h') && words.includes('SNR 2 → 2.67 of 3 wanted'), words);
    ok(words.includes('Brightfen is left out: the mix needs H, O'), words);
    await clean(element);
  });

  it('keep to windows, goals and caps that the user gives, and are there on the next visit', async () => {
    changeSeason({ nights: nightsFrom('2026-01-10', 3, 6), targets: {} });
    const element = await mount('lw-season');
    const change = (label: string, value: string) => {
      const field = find<HTMLInputElement>(element, `[aria-label="${label}"]`);
      field.value = value;
      field.dispatchEvent(new Event('change'));
    };
    change('Goal of Palehoop', 'snr');
    change('First evening for Palehoop', '2026-01-11');
    await settled(element);
    const type = async (label: string, value: number) => {
      const field = [...element.shadowRoot!.querySelectorAll<Element & { label: string }>('lw-number')].find(
        (one) => one.label === label,
      )!;
      field.dispatchEvent(new CustomEvent('lw-number', { detail: value }));
      await settled(element);
    };
    await type('Hours a night that Palehoop stands high enough', 2.5);
    find<HTMLInputElement>(element, '[aria-label="Limit the hours of each line of Palehoop"]').click();
    await settled(element);
    await type('Most hours of each line of Palehoop in all', 20);
    await until(() => questions.at(-1)?.targets[1]?.wish.cap !== undefined);
    equal(questions.at(-1)!.targets[1]!.wish, {
      name: 'Palehoop',
      goal: 'snr',
      snr: 5,
      up: '2.5h',
      nights: ['2026-01-11', '2026-01-12'],
      cap: '20h',
    });
    equal(checkedSeason(kept('season')), checkedSeason($season.get()));
    await type('Dark hours of all nights', 0);
    await until(() => $seasonPlan.get()?.nights.length === 0);
    await settled(element);
    ok(element.shadowRoot!.textContent!.includes('There is no night with dark hours'), 'it says so');
  });

  it('are read again without what is no good', () => {
    equal(checkedSeason({ nights: [{ date: 'x', dark: 3 }] }), undefined);
    const found = checkedSeason({
      nights: [
        { date: '2026-01-10', dark: 3 },
        { date: '2026-03-10', dark: 99 },
        { date: '2026-01-10', dark: 4 },
      ],
      change: -1,
      targets: { A: { goal: 'evil', up: 3, from: 'never', cap: 'x' } },
    })!;
    equal(
      found.nights.map(({ date }) => date),
      ['2026-01-10', '2026-01-11'],
    );
    equal(
      [found.change, found.targets.A!.goal, found.targets.A!.up, found.targets.A!.from],
      [0, 'luminance', 3, undefined],
    );
  });
});

describe('the wall of targets', () => {
  it('shows each target by the mix on screen, switches with a click, and is saved as a sheet', async () => {
    $targetsShown.set(true);
    const element = await mount('lw-target-wall');
    const items = () => [...element.shadowRoot!.querySelectorAll('li')];
    await until(() => items().every((item) => !item.textContent!.includes('Mixing')));
    await settled(element);
    equal(
      items().map((item) => [item.querySelector('lw-band') !== null, item.textContent!.replace(/\s+/g, ' ').trim()]),
      [
        [true, 'Emberwingon screen'],
        [true, 'Palehoop'],
        [false, 'needs H, O Brightfen'],
      ],
    );
    for (const band of items().flatMap((item) => item.querySelector('lw-band') ?? [])) {
      const [cell, canvas] = [band, find(band, 'canvas')].map((shown) => shown.getBoundingClientRect());
      ok(canvas!.width <= cell!.width + 1 && canvas!.height <= cell!.height + 1, 'all of a picture is in its cell');
    }
    await clean(element);
    const before = URL.createObjectURL;
    URL.createObjectURL = () => '#';
    try {
      find<HTMLButtonElement>(element, '.buttons button').click();
      await until(() => sheets.length === 1 && $drawingTargets.get() === undefined);
    } finally {
      URL.createObjectURL = before;
    }
    const { targets, recipes } = sheets[0]!;
    equal([targets.length, recipes.map(({ caption }) => caption)], [3, ['Pair']]);
    items()[1]!.querySelector('button')!.click();
    equal([$targets.get()!.current, $targetsShown.get()], ['Palehoop', true]);
    await until(() => !$targetsShown.get());
  });
});
