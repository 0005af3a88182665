import { describe, expect, it } from 'vitest';
import {
  adviceText,
  CAUTION,
  checkText,
  figure,
  hoursText,
  ledgerText,
  moveText,
  percent,
} from '../../lib/cli/hours-report.ts';
import type { HoursAdvice } from '../../lib/hours/advice.ts';
import type { Exposure } from '../../lib/hours/exposure.ts';
import type { Ledger, LedgerPlace } from '../../lib/hours/ledger.ts';
import { forQuantities, QUANTITIES } from '../../lib/hours/outputs.ts';
import type { LineSurvey } from '../../lib/hours/survey.ts';
import { textureOf } from '../../lib/hours/texture.ts';

/** Cells of a printed table: two blanks or more stand between columns. */
const cells = (text: string) => text.split('\n').map((line) => line.split(/ {2,}/));
const rowOf = (text: string, name: string) => cells(text).find(([first]) => first === name);

const place = (noise: number): LedgerPlace => ({
  values: [],
  lineNoise: [],
  outputs: [],
  jacobian: [],
  covariance: [],
  correlation: [],
  noise: forQuantities((q) => noise * (1 + QUANTITIES.indexOf(q))),
  sensitivity: forQuantities(() => []),
  shares: forQuantities(() => [0.25, 0.75]),
});
const ledger: Ledger = { lines: ['S', 'O'], background: place(0.01) };
const withBox: Ledger = {
  ...ledger,
  box: {
    ...place(0.02),
    pixels: 1600,
    signal: forQuantities(() => 0.05),
    snr: forQuantities(() => 2.5),
    snrOfMean: forQuantities(() => 100),
  },
};
const exposures: Exposure[] = [
  { name: 'S', hours: 6, sub: 400, subs: 54, from: 'header' },
  { name: 'O', hours: undefined, sub: undefined, subs: undefined, from: undefined },
];
/** Twice the noise of direct differences, and neighbours that go together. */
const TOGETHER = {
  variance: 4,
  nebula: 1,
  correlation: { across: [1, 0.4], down: [1, 0.36], falling: 0, rising: 0 },
};
const surveys = [
  { name: 'S', background: { value: 996.25, noise: 5.5 }, texture: textureOf(5.5) },
  { name: 'O', background: { value: 1260, noise: 4 }, texture: textureOf(2, TOGETHER, 1e6) },
];
const boxed = surveys.map((survey, i) => ({ ...survey, box: { value: 1000 + i, noise: 6.25, pixels: 1600, area: 1 } }));

/** What the reports are written from. */
const mixOf = (of: Ledger, exposed = exposures, surveyed: readonly LineSurvey[] = surveys) => ({
  ledger: of,
  lines: exposed.map((exposure, i) => ({ ...exposure, ...surveyed[i]!, expected: undefined })),
});

describe('figures', () => {
  it('have three digits that count, and no zeros behind them', () => {
    expect([0.0123456, 1.5, 12345, 0, 2].map((v) => figure(v))).toEqual(['0.0123', '1.5', '12300', '0', '2']);
    expect(figure(12.3456, 5)).toBe('12.346');
  });

  it('of hours have three digits from ten hours on', () =>
    expect([0.256, 9.94, 10, 12.34, 277.4].map(hoursText)).toEqual(['0.26 h', '9.9 h', '10 h', '12.3 h', '277 h']));

  it('of shares have a true minus sign', () => {
    expect([0.123, 1, 0, -0.304].map((v) => percent(v))).toEqual(['12 %', '100 %', '0 %', '−30 %']);
    expect(percent(-0.12345, 4)).toBe('−12.35 %');
  });
});

describe('the ledger', () => {
  it('shows each line as measured, and what is not known as a dash', () => {
    const text = ledgerText(mixOf(ledger));
    expect(cells(text)[0]).toEqual(['line', 'hours', 'subs', 'background', 'noise', 'neighbours']);
    expect(rowOf(text, 'S')).toEqual(['S', '6', '54 × 400 s', '996.25', '5.5', 'independent']);
    expect(rowOf(text, 'O')).toEqual(['O', '–', '–', '1260', '4', 'go together, 0.38']);
  });

  it('shows the noise of every quantity and the share of each line', () => {
    const text = ledgerText(mixOf(ledger));
    expect(text).toMatch(/^noise at the background +one pixel +from S +from O$/m);
    expect(text).not.toMatch(/box/);
    for (const [i, quantity] of QUANTITIES.entries())
      expect(rowOf(text, quantity)).toEqual([quantity, figure(0.01 * (i + 1)), '25 %', '75 %']);
  });

  it('shows the box beside it where there is one', () => {
    const text = ledgerText(mixOf(withBox, exposures, boxed));
    expect(cells(text)[0]!.slice(4)).toEqual(['noise', 'box', 'box noise', 'neighbours']);
    expect(rowOf(text, 'O')!.slice(4)).toEqual(['4', '1001', '6.25', 'go together, 0.38']);
    expect(text.match(/^noise at the (background|box) /gm)).toHaveLength(2);
    expect(text).toMatch(/^signal of the box .* SNR of its mean \(1600 pixels\)$/m);
    expect(text).toMatch(/^green +0\.05 +2\.5 +100$/m);
  });
});

describe('the advice', () => {
  const advice: HoursAdvice = {
    goal: 'luminance',
    quantity: 'luminance',
    place: 'background',
    nextHour: [0.018, 0.063],
  };
  const share = (name: string, added: number, subs?: number) => ({
    name,
    group: '',
    added,
    clock: 1.1 * added,
    ...(subs !== undefined && { subs }),
  });
  const allocation = { shares: [share('S', 2, 18), share('O', 7.5)], clock: 10.5, before: 1, after: 0.5 };
  const known = exposures.map((e) => ({ ...e, hours: e.hours ?? 5 }));
  const noise = (value: number) => ({ ...place(value / 4), variances: [] }) as unknown as HoursAdvice['future'];

  it('tells what an hour more of each line brings, and ends with the caution', () => {
    const text = adviceText(advice, mixOf(ledger, known));
    expect(cells(text).slice(0, 3)).toEqual([
      ['line', 'luminance noise after 1 h more'],
      ['S', '−1.8 %'],
      ['O', '−6.3 %'],
    ]);
    expect(text).not.toContain('on the clock');
    expect(text.endsWith(`\n\n${CAUTION}\n`)).toBe(true);
  });

  it('shows the split: subs where their length is known, hours more and then, time on the clock', () => {
    const text = adviceText({ ...advice, allocation, future: noise(0.02)! }, mixOf(ledger, known));
    expect(cells(text)[0]!.slice(2)).toEqual(['subs more', 'hours more', 'hours then', 'on the clock']);
    expect(rowOf(text, 'S')!.slice(2)).toEqual(['18', '2', '8', '2.2']);
    expect(rowOf(text, 'O')!.slice(2)).toEqual(['–', '7.5', '12.5', '8.25']);
    // Luminance is the fourth quantity: 0.04 at the background now, 0.02 then.
    expect(text).toContain('10.5 h more on the clock: noise of luminance at the background 0.04 → 0.02 (−50 %)\n');
  });

  it('compares with equal shares, and starts from the box where there is one', () => {
    const text = adviceText(
      { ...advice, place: 'box', allocation, future: noise(0.02)!, equal: noise(0.03)! },
      mixOf(withBox, known),
    );
    expect(text).toContain('at the box 0.08 → 0.02 (−75 %); in equal shares 0.03\n');
  });

  it('lists the hours to each SNR: reached, to come, or out of reach', () => {
    const steps = [
      { snr: 3, allocation: { ...allocation, clock: 0, shares: [share('S', 0), share('O', 0)] } },
      { snr: 5, allocation },
      { snr: 10 },
    ] as unknown as HoursAdvice['steps'];
    const text = adviceText({ ...advice, steps: steps! }, mixOf(withBox, known));
    const from = cells(text).findIndex(([, title]) => title === 'on the clock');
    expect(
      cells(text)
        .slice(from, from + 4)
        .map((row) => row.filter(Boolean)),
    ).toEqual([
      ['SNR in luminance', 'on the clock', 'S more', 'O more'],
      ['3', 'reached', '–', '–'],
      ['5', '10.5 h', '2 h', '7.5 h'],
      ['10', 'out of reach', '–', '–'],
    ]);
    expect(adviceText({ ...advice, steps: steps! }, mixOf(ledger, known))).not.toContain('SNR');
  });
});

describe('what if, and the check', () => {
  it('shows every quantity now and then, and no change where there is no noise', () => {
    const now = { ...place(0.01).noise, blue: 0 };
    const then = { ...place(0.02).noise, red: 0.005 };
    const text = moveText(
      { from: 'S', to: 'O', hours: 2, noise: then, shares: place(1).shares },
      { ...ledger, background: { ...place(0.01), noise: now } },
    );
    expect(cells(text)[0]).toEqual(['2 h of S for O instead', 'now', 'then', 'change']);
    expect(rowOf(text, 'red')).toEqual(['red', '0.01', '0.005', '−50 %']);
    expect(rowOf(text, 'green')).toEqual(['green', '0.02', '0.04', '100 %']);
    expect(rowOf(text, 'blue')).toEqual(['blue', '0', '0.06', '0 %']);
    expect(text.trim().split('\n')).toHaveLength(1 + QUANTITIES.length);
  });

  it('shows drawn noise beside the ledger, and none where nothing varied', () => {
    const drawn = { ...place(0.01).noise, blue: 0 };
    const text = checkText('box', { draws: 4000, noise: drawn, ratio: forQuantities(() => 0.98765), error: 0.01118 });
    expect(cells(text)[0]).toEqual(['4000 draws at the box', 'drawn noise', 'ledger / drawn']);
    expect(rowOf(text, 'green')).toEqual(['green', '0.02', '0.9877 ± 0.011']);
    expect(rowOf(text, 'blue')).toEqual(['blue', '0', '–']);
  });
});
