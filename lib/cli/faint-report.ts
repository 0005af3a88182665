import type { HoursTo } from '../faint/area.ts';
import type { FaintResult } from '../node/faint-files.ts';
import { table } from './table.ts';

/** Features that are listed; the rest is counted. */
const LISTED = 20;

const figure = (value: number, digits = 3): string => String(Number(value.toPrecision(digits)));

/** Hours in all, or that they are there. */
const hoursText = (found: HoursTo | undefined, so: number | undefined): string => {
  if (found === undefined) return '–';
  if (found.hours <= (so ?? 0)) return 'reached';
  const most = found.most === undefined ? '?' : figure(found.most, 2);
  return `${figure(found.hours, 2)} h (${figure(found.least, 2)}–${most})`;
};

/** What stands out, as text. */
export const faintText = (found: FaintResult): string => {
  const { name, hours, falseBlobs, features, stars, scales, asked, wander, limits } = found;
  const aims = [...new Set([...features, ...(asked ? [asked] : [])].flatMap((of) => of.hours.map(({ aim }) => aim)))];
  const parts = [
    `${name}: ${features.length} outlined (noise alone makes about ${figure(falseBlobs)}), ${stars} stars masked${hours === undefined ? '' : `, ${figure(hours)} h so far`}\n`,
  ];
  if (features.length > 0) parts.push(featureTable(found, aims));
  if (features.length > LISTED) parts.push(`and ${features.length - LISTED} more\n`);
  if (asked) {
    const { x, y, width, height } = asked.box;
    const of = asked.area;
    const says =
      of === undefined
        ? 'too little is left beside stars and edges'
        : `${figure(of.contrast)} above its ring, z ${figure(of.z)}`;
    const until = asked.hours.map((to) => `; to ${to.aim}: ${hoursText(to, hours)}`).join('');
    parts.push(`\nbox ${x},${y},${width},${height}: ${says}${until}\n`);
  }
  parts.push('\n', scaleTable(scales, wander));
  for (const limit of limits) parts.push(`${limit}\n`);
  return parts.join('');
};

const featureTable = ({ features, hours }: FaintResult, aims: readonly number[]): string =>
  table(
    ['#', 'place', 'box', 'px', 'scale', 'z/limit', 'contrast', 'z of area', ...aims.map((aim) => `hours to ${aim}`)],
    features.slice(0, LISTED).map(({ x, y, box, pixels, scale, ratio, area, hours: until }, i) => [
      String(i + 1),
      `${Math.round(x)},${Math.round(y)}`,
      `${box.x},${box.y},${box.width},${box.height}`,
      String(pixels),
      String(scale),
      figure(ratio),
      area === undefined ? '–' : figure(area.contrast),
      area === undefined ? '–' : figure(area.z),
      ...aims.map((aim) =>
        hoursText(
          until.find((to) => to.aim === aim),
          hours,
        ),
      ),
    ]),
  );

const scaleTable = (scales: FaintResult['scales'], wander: FaintResult['wander']): string =>
  table(
    [
      'scale px',
      'limit z',
      'least seen',
      'bright',
      'dark',
      'known %',
      ...(wander ? ['spread of masters', 'flats %'] : []),
    ],
    scales.map(({ scale, u, least, bright, dark, known }) => {
      const of = wander?.find((one) => one.scale === scale);
      return [
        String(scale),
        known === 0 ? '–' : u.toFixed(2),
        known === 0 ? '–' : figure(least),
        String(bright),
        String(dark),
        (100 * known).toFixed(0),
        ...(wander ? [of ? figure(of.spread) : '–', of ? figure(100 * of.flats, 2) : '–'] : []),
      ];
    }),
  );
