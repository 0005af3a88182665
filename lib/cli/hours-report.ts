import type { HoursAdvice } from '../hours/advice.ts';
import type { Ledger, LedgerPlace, LedgerSmoothed } from '../hours/ledger.ts';
import type { MonteCarlo } from '../hours/monte-carlo.ts';
import { QUANTITIES } from '../hours/outputs.ts';
import type { MixHours } from '../work/hours.ts';
import { table } from './table.ts';

/** Said once wherever hours are proposed. */
export const CAUTION =
  'These figures are estimates; nights outdoors are subject to weather, local rules and common sense.';

export const figure = (v: number, digits = 3): string => String(Number(v.toPrecision(digits)));
export const hoursText = (h: number): string => `${figure(h, h < 10 ? 2 : 3)} h`;
export const percent = (share: number, digits = 2): string =>
  `${Number((100 * share).toPrecision(digits))} %`.replace('-', '−');

/** The ledger as text: lines, then noise by quantity at the background and in the box. */
export const ledgerText = ({ ledger, lines }: Pick<MixHours, 'ledger' | 'lines'>): string => {
  const rows = table(
    ['line', 'hours', 'subs', 'background', 'noise', ...(ledger.box ? ['box', 'box noise'] : []), 'neighbours'],
    lines.map(({ name, hours, sub, subs, background, box, texture }) => [
      name,
      hours === undefined ? '–' : figure(hours, 4),
      subs === undefined ? '–' : `${subs} × ${figure(sub!, 4)} s`,
      figure(background.value, 6),
      figure(background.noise),
      ...(box ? [figure(box.value, 6), figure(box.noise)] : []),
      texture.correlated ? `go together, ${texture.neighbours.toFixed(2)}` : 'independent',
    ]),
  );
  const parts = [rows, placeText('background', ledger.background, ledger.lines)];
  if (ledger.box) parts.push(placeText('box', ledger.box, ledger.lines), boxText(ledger.box));
  if (ledger.smoothed) parts.push(smoothedText(ledger.smoothed, ledger));
  return parts.join('\n');
};

/** Noise before and after smoothing, and each line's part of what is left. */
const smoothedText = ({ left, background, how }: LedgerSmoothed, { lines, background: before }: Ledger): string => {
  const rows = QUANTITIES.map((q) => [
    q,
    figure(before.noise[q]),
    figure(background.noise[q]),
    ...background.shares[q].map((share) => percent(share)),
  ]);
  const kept = lines.flatMap((name, i) => (left[i]! < 1 ? `${percent(left[i]!)} in ${name}` : []));
  const titles = [
    'noise of one pixel of background',
    'before',
    'after smoothing',
    ...lines.map((name) => `from ${name}`),
  ];
  return `${table(titles, rows)}Smoothing leaves ${kept.join(' and ')} of the noise of a pixel. ${how}\n`;
};

const placeText = (title: string, place: LedgerPlace, lines: readonly string[]): string =>
  table(
    [`noise at the ${title}`, 'one pixel', ...lines.map((name) => `from ${name}`)],
    QUANTITIES.map((q) => [q, figure(place.noise[q]), ...place.shares[q].map((share) => percent(share))]),
  );

const boxText = (box: NonNullable<Ledger['box']>): string =>
  table(
    ['signal of the box', 'above background', 'SNR of a pixel', `SNR of its mean (${box.pixels} pixels)`],
    QUANTITIES.map((q) => [q, figure(box.signal[q]), figure(box.snr[q]), figure(box.snrOfMean[q])]),
  );

/** The advice as text; ends with the caution where hours are proposed. */
export const adviceText = (advice: HoursAdvice, { ledger, lines }: Pick<MixHours, 'ledger' | 'lines'>): string => {
  const { quantity, allocation, future, equal, nextHour } = advice;
  const now = (ledger.box ?? ledger.background).noise[quantity];
  const rows = ledger.lines.map((name, i) => {
    const share = allocation?.shares[i];
    return [
      name,
      `−${percent(nextHour[i]!)}`,
      ...(share
        ? [
            share.subs === undefined ? '–' : String(share.subs),
            figure(share.added),
            figure(lines[i]!.hours! + share.added, 4),
            figure(share.clock),
          ]
        : []),
    ];
  });
  const titles = ['line', `${quantity} noise after 1 h more`, ...(allocation ? ADDED : [])];
  const text = [table(titles, rows)];
  if (allocation && future) {
    const after = future.noise[quantity];
    const other = equal ? `; in equal shares ${figure(equal.noise[quantity])}` : '';
    text.push(
      `${hoursText(allocation.clock)} more on the clock: noise of ${quantity} at the ${advice.place} ${figure(now)} → ` +
        `${figure(after)} (${percent(after / now - 1)})${other}\n`,
    );
  }
  if (ledger.smoothed) text.push(SPLIT_BEFORE);
  const steps = stepsText(advice, ledger);
  if (steps !== '') text.push(steps);
  return `${text.join('\n')}\n${CAUTION}\n`;
};

const SPLIT_BEFORE = 'All figures about hours count the noise before smoothing: hours reduce that noise.\n';

const ADDED = ['subs more', 'hours more', 'hours then', 'on the clock'];

const stepsText = ({ steps, quantity }: HoursAdvice, { box, lines }: Ledger): string => {
  if (steps === undefined || box === undefined) return '';
  return table(
    [`SNR in ${quantity}`, 'on the clock', ...lines.map((name) => `${name} more`)],
    steps.map(({ snr, allocation }) => [
      String(snr),
      allocation === undefined ? 'out of reach' : allocation.clock === 0 ? 'reached' : hoursText(allocation.clock),
      ...lines.map((_, i) => (allocation?.clock ? hoursText(allocation.shares[i]!.added) : '–')),
    ]),
  );
};

/** A what-if as text. */
export const moveText = (
  { from, to, hours, noise: then }: NonNullable<MixHours['move']>,
  { box, background }: Ledger,
) => {
  const now = (box ?? background).noise;
  return table(
    [`${hoursText(hours)} of ${from} for ${to} instead`, 'now', 'then', 'change'],
    QUANTITIES.map((q) => [q, figure(now[q]), figure(then[q]), now[q] > 0 ? percent(then[q] / now[q] - 1) : '0 %']),
  );
};

/** The Monte Carlo check as text. */
export const checkText = (title: string, { draws, noise, ratio, error }: MonteCarlo): string =>
  table(
    [`${draws} draws at the ${title}`, 'drawn noise', 'ledger / drawn'],
    QUANTITIES.map((q) => [q, figure(noise[q]), noise[q] > 0 ? `${figure(ratio[q], 4)} ± ${figure(error, 2)}` : '–']),
  );
