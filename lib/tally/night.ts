import type { HeaderFacts } from '../plane/facts.ts';

/** What tells the noon at which a night begins: the clock of the place, its longitude, or neither. */
export type Noon = 'localTime' | 'longitude' | 'utc';

/** The night of an exposure, named by the date of its evening, and what tells its noons. */
export interface Night {
  readonly night: string;
  readonly noon: Noon;
}

const ISO = /^([+-]?\d{4,6}-\d\d-\d\d)[T ](\d\d?:\d\d(?::\d\d(?:\.\d*)?)?)\s*(Z|UTC?|[+-]\d\d:?\d\d)?$/i;
const HALF_DAY = 12 * 3_600_000;

/** Milliseconds since 1970 of a date with a time, UTC where no zone is written; undefined for anything else. */
const instantOf = (text: string): number | undefined => {
  const [, date, time, zone = 'Z'] = ISO.exec(text.trim()) ?? [];
  if (date === undefined || time === undefined) return undefined;
  const clock = `${time.padStart(time.indexOf(':') === 1 ? time.length + 1 : 0, '0')}${time.split(':').length < 3 ? ':00' : ''}`;
  const offset = /^[+-]/.test(zone) ? zone.replace(/^(...):?(..)$/, '$1:$2') : 'Z';
  const instant = Date.parse(`${date}T${clock.replace(/\.$/, '')}${offset}`);
  return Number.isNaN(instant) ? undefined : instant;
};

/** The date of the noon before. */
const evening = (instant: number): string => new Date(instant - HALF_DAY).toISOString().slice(0, 10);

/**
 * The night in which an exposure began: nights run from noon to noon, by the clock of the place where the header has it,
 * else by mean solar time of its longitude, else UTC. Undefined where the header has no date with a time.
 */
export const nightOf = ({ dateStart, dateLocal, longitude }: HeaderFacts): Night | undefined => {
  // A local time is a clock's reading: a zone behind it changes nothing.
  const local = dateLocal && instantOf(dateLocal.replace(/(Z|UTC?|[+-]\d\d:?\d\d)$/i, ''));
  if (typeof local === 'number') return { night: evening(local), noon: 'localTime' };
  const start = dateStart && instantOf(dateStart);
  if (typeof start !== 'number') return undefined;
  if (longitude === undefined) return { night: evening(start), noon: 'utc' };
  return { night: evening(start + (longitude / 15) * 3_600_000), noon: 'longitude' };
};
