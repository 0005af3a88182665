import { readSky } from '../formats/fits/sky.ts';
import type { Channel } from '../measure/measure.ts';
import type { Box } from '../plane/box.ts';
import type { HeaderFacts } from '../plane/facts.ts';
import type { PictureFacts } from '../plane/picture-facts.ts';
import type { Size } from '../plane/shrink.ts';
import { type Sky, skyOfBox, skyOfSize } from '../plane/sky.ts';

/** What of the whole frame a picture shows, and in how many pixels. */
export interface Framing extends Size {
  readonly crop?: Box | undefined;
}

/**
 * What the headers of the masters say that stays true of a mix of them. Masters lie on one pixel grid, so that the sky of
 * one is the sky of all.
 * @param channels the lines at full size, whole
 */
export const pictureFacts = (channels: readonly Channel[], framing: Framing): PictureFacts => {
  const facts = channels.map(({ source }) => source.facts);
  const object = agreed(facts);
  const dateStart = dates(facts, 'dateStart')[0];
  const dateEnd = dates(facts, 'dateEnd').at(-1);
  const sky = skyOf(channels, framing);
  return {
    ...(object !== undefined && { object }),
    ...(dateStart !== undefined && { dateStart }),
    ...(dateEnd !== undefined && { dateEnd }),
    exposures: channels.flatMap(({ name, source: { facts } }) =>
      facts.hours === undefined ? [] : [{ line: name, hours: facts.hours }],
    ),
    ...(sky && { sky }),
  };
};

const agreed = (facts: readonly HeaderFacts[]): string | undefined => {
  const names = new Set(facts.flatMap(({ object }) => (object === undefined ? [] : [object.trim()])));
  return names.size === 1 ? [...names][0] : undefined;
};

/** ISO 8601 with the year first, so that the order of the letters is the order of time. */
const ISO = /^\d{4}-\d{2}-\d{2}(T\d{2}:\d{2}(:\d{2}(\.\d*)?)?)?$/;

const dates = (facts: readonly HeaderFacts[], key: 'dateStart' | 'dateEnd'): string[] =>
  facts.flatMap(({ [key]: date }) => (date !== undefined && ISO.test(date) ? [date] : [])).sort();

const skyOf = (channels: readonly Channel[], { crop, width, height }: Framing): Sky | undefined => {
  for (const { source } of channels) {
    const whole = readSky(source.facts.cards, source.height);
    if (whole === undefined) continue;
    const box = crop ?? { x: 0, y: 0, width: source.width, height: source.height };
    return skyOfSize(skyOfBox(whole, box, source.height), box, { width, height });
  }
  return undefined;
};
