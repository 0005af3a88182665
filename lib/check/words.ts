import type { Defect, Point } from './defects.ts';

/** A number with three figures, without an exponent. */
const figure = (value: number): string => String(Number(value.toPrecision(3)));
const place = ([x, y]: Point): string => `${Math.round(x)},${Math.round(y)}`;
const shade = (sign: Defect['sign']): string => (sign === -1 ? 'dark' : 'bright');

/** What a defect is, in a few words. */
export const whatOf = ({ kind, sign, width, depth, noiseRatio, count }: Defect): string => {
  switch (kind) {
    case 'trail':
      return `${shade(sign)} trail, ${figure(width!)} px wide, ${figure(depth!)} counts`;
    case 'column':
    case 'row':
      return `${shade(sign)} ${kind}, ${figure(depth!)} counts`;
    case 'seam':
      return `seam: noise ${figure(noiseRatio!)} × as high on one side`;
    case 'spots':
      return `${count} bright ${count === 1 ? 'spot' : 'spots'} in this line alone, about ${figure(depth!)} counts`;
  }
};

/** Places of spots that are named. */
const NAMED = 3;

/** Where a defect is, in pixels from the top left. */
export const whereOf = ({ kind, from, to, angle, places = [] }: Defect): string => {
  switch (kind) {
    case 'trail':
    case 'seam':
      return `from ${place(from)} to ${place(to)}, ${figure(angle!)}°`;
    case 'column':
      return `x = ${from[0]}`;
    case 'row':
      return `y = ${from[1]}`;
    case 'spots':
      return places.slice(0, NAMED).map(place).join(' ') + (places.length > NAMED ? ' …' : '');
  }
};

/** How sure a defect is. */
export const howSure = ({ certainty, score }: Defect): string => `${certainty} (score ${figure(score)})`;
