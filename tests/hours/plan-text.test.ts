import { describe, expect, it } from 'vitest';
import { parsePlan } from '../../lib/hours/plan/parse.ts';
import type { LinewashError } from '../../lib/plane/errors.ts';

const PLAN = {
  linewash: 1,
  nights: [{ date: '2026-01-10', dark: '6h' }],
  targets: [{ name: 'Emberwing', masters: { H: 'h.fits', O: 'o.fits' }, recipe: 'hoo', sub: { H: '300s' } }],
};

/** A target with all that a goal of SNR takes. */
const FULL = {
  ...PLAN.targets[0]!,
  goal: 'snr',
  snr: 5,
  in: 'blue',
  per: 'box',
  box: [0, 10, 20, 30],
  background: [40, 0, 20, 30],
  weight: 2,
  up: '4.5h',
  nights: ['2026-01-10'],
  lineWeight: { H: 3 },
};
const nightOf = (day: number) => ({
  date: new Date(Date.UTC(2026, 0, 10 + day)).toISOString().slice(0, 10),
  dark: '6h',
});

describe('the text of a plan', () => {
  const faults = (change: (plan: typeof PLAN & Record<string, unknown>) => void): string[] => {
    const plan = structuredClone(PLAN);
    change(plan as never);
    try {
      parsePlan(JSON.stringify(plan, null, 2), 'plan.json');
      return [];
    } catch (cause) {
      const error = cause as LinewashError;
      expect(error.tag).toBe('recipe');
      expect(error.faults.every(({ line, column }) => line! > 0 && column! > 0)).toBe(true);
      return error.faults.map(({ path, message }) => `${path}: ${message}`);
    }
  };

  it('is read', () => expect(parsePlan(JSON.stringify(PLAN))).toEqual(PLAN));

  it.each<[string, (plan: any) => void, RegExp]>([
    ['version', (p) => (p.linewash = 2), /^\$\.linewash: this linewash reads plans of version 1/],
    ['no nights', (p) => (p.nights = []), /^\$\.nights: expected at least one/],
    ['a date that is none', (p) => (p.nights[0].date = '2026-02-30'), /^\$\.nights\[0\]\.date: expected a date/],
    ['a night twice', (p) => p.nights.push(p.nights[0]), /^\$\.nights\[1\]\.date: .*twice/],
    ['hours without unit', (p) => (p.nights[0].dark = 6), /^\$\.nights\[0\]\.dark: found 6; expected a duration/],
    ['a typing error', (p) => (p.targets[0].recipee = 'hoo'), /recipee: unknown key \(did you mean recipe\?\)/],
    ['no recipe', (p) => delete p.targets[0].recipe, /^\$\.targets\[0\]\.recipe: this key is missing/],
    ['no masters', (p) => Object.assign(p.targets[0], { masters: {}, sub: '300s' }), /masters: there is no master/],
    ['another goal', (p) => (p.targets[0].goal = 'best'), /goal: allowed: luminance, colour, snr/],
    ['an SNR without box', (p) => (p.targets[0].goal = 'snr'), /goal: the goal snr needs "snr" and "box"/],
    ['an SNR without its goal', (p) => (p.targets[0].snr = 5), /snr: an SNR needs "goal": "snr"/],
    ['a box of five numbers', (p) => (p.targets[0].box = [0, 1, 2, 3, 4]), /box/],
    ['an unknown line', (p) => (p.targets[0].sub = { S: '300s' }), /sub\.S: there is no line S; lines: H, O/],
    ['an unknown night', (p) => (p.targets[0].nights = ['2026-01-11']), /nights\[0\]: there is no night 2026-01-11/],
    ['a weight of 0', (p) => (p.targets[0].weight = 0), /weight: expected a number above 0/],
  ])('is refused for %s', (_, change, message) => {
    const found = faults(change);
    expect(found).toHaveLength(1);
    expect(found[0]).toMatch(message);
  });

  it('is read with every key there is', () => {
    const full = {
      ...PLAN,
      overhead: '20s',
      change: '5 min',
      targets: [
        { ...FULL, time: '9h', sub: '300s', cap: '40h' },
        { ...FULL, name: 'Veilfold', time: { H: '9h' }, cap: { O: '40h' }, per: 'pixel', recipe: { matrix: [[1, 0]] } },
        { ...FULL, name: 'Third', goal: 'colour', snr: undefined, in: undefined, per: undefined },
      ],
    };
    expect(parsePlan(JSON.stringify(full))).toEqual(JSON.parse(JSON.stringify(full)));
  });

  it.each<[string, (target: any, plan: any) => void]>([
    ['$.targets[0].name', (t) => (t.name = '')],
    ['$.targets[0].name', (t) => (t.name = 'x'.repeat(201))],
    ['$.targets[0].masters.H', (t) => (t.masters.H = '')],
    ['$.targets[0].masters', (t) => (t.masters = 'h.fits')],
    ['$.targets[0].recipe', (t) => (t.recipe = 7)],
    ['$.targets[0].in', (t) => (t.in = 'purple')],
    ['$.targets[0].per', (t) => (t.per = 'star')],
    ['$.targets[0].box[3]', (t) => (t.box = [1, 2, 3])],
    ['$.targets[0].box[0]', (t) => (t.box = [-1, 0, 9, 9])],
    ['$.targets[0].box[3]', (t) => (t.box = [0, 0, 9, 9.5])],
    ['$.targets[0].background[1]', (t) => (t.background = [0, '0', 9, 9])],
    ['$.targets[0].weight', (t) => (t.weight = 1000.1)],
    ['$.targets[0].up', (t) => (t.up = '3')],
    ['$.targets[0].nights', (t) => (t.nights = '2026-01-10')],
    ['$.targets[0].time', (t) => (t.time = '9 days')],
    ['$.targets[0].cap', (t) => (t.cap = { H: 9 })],
    ['$.targets[0].lineWeight.H', (t) => (t.lineWeight = { H: -1 })],
    ['$.targets[0].time.S', (t) => (t.time = { S: '9h' })],
    ['$.targets[0].cap.S', (t) => (t.cap = { H: '9h', S: '9h' })],
    ['$.targets[0].lineWeight.S', (t) => (t.lineWeight = { S: 2 })],
    ['$.targets[1].name', (t, p) => p.targets.push({ ...t })],
    ['$.targets', (_, p) => (p.targets = [])],
    ['$.targets', (t, p) => (p.targets = Array.from({ length: 201 }, (_, i) => ({ ...t, name: `T${i}` })))],
    ['$.nights', (_, p) => (p.nights = Array.from({ length: 1001 }, (_, i) => nightOf(i)))],
    ['$.nights[0].dark', (_, p) => (p.nights[0].dark = 'all')],
    ['$.overhead', (_, p) => (p.overhead = 20)],
    ['$.change', (_, p) => (p.change = '-5m')],
    ['$.targets[0].snr', (t) => Object.assign(t, FULL, { snr: 0 })],
    ['$.targets[0].snr', (t) => Object.assign(t, FULL, { snr: 1e6 + 1 })],
    ['$.targets[0].goal', (t) => Object.assign(t, FULL, { box: undefined })],
    ['$.targets[0].goal', (t) => Object.assign(t, FULL, { snr: undefined })],
  ])('is refused at %s', (path, change) => {
    const found = faults((plan) => change(plan.targets[0], plan));
    expect(found.map((fault) => fault.split(': ')[0])).toEqual([path]);
  });

  it('is read at its limits', () => {
    const limits = (plan: any) => {
      plan.nights = Array.from({ length: 1000 }, (_, i) => nightOf(i));
      const target = { ...FULL, weight: 1000, snr: 1e6, nights: [nightOf(3).date] };
      plan.targets = Array.from({ length: 200 }, (_, i) => ({ ...target, name: `T${i}`.padEnd(200, 'x') }));
    };
    expect(faults(limits)).toEqual([]);
  });

  it.each([
    '2026-1-10',
    '26-01-10',
    '2026-02-29',
    '2026-13-01',
    '2026-01-00',
    '-002026-01-10',
    ' 2026-01-10',
    '',
    20260110,
  ])('takes %j for no date', (date) => {
    expect(faults((plan) => (plan.nights[0]!.date = date as string))).toHaveLength(1);
  });

  it('takes 29 February for a date in leap years', () =>
    expect(faults((plan) => (plan.nights[0]!.date = '2028-02-29'))).toEqual([]));

  it('names all its faults at once, each with its place', () => {
    const found = faults((plan: any) => {
      plan.nights.push(plan.nights[0]);
      Object.assign(plan.targets[0], { snr: 5, nights: ['2026-03-01', '2026-01-10', '2026-03-02'], cap: { X: '1h' } });
    });
    expect(found.map((fault) => fault.split(': ')[0])).toEqual([
      '$.nights[1].date',
      '$.targets[0].snr',
      '$.targets[0].nights[0]',
      '$.targets[0].nights[2]',
      '$.targets[0].cap.X',
    ]);
  });
});
