import { throwIfCancelled } from '../../plane/errors.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import type { StripOptions } from '../../plane/strips.ts';
import { featureOf, ROUND } from './features.ts';
import { createFineLooks } from './fine.ts';
import { centreAt, lookAtFull, mapAt, mapAtFull } from './level.ts';
import { type Look, lookBy } from './look.ts';
import type { Picture } from './picture.ts';
import { type Registered, reportOf } from './report.ts';
import { roughSimilarity, seenThrough } from './rough.ts';
import { ASPECTS, referenceAs, type Seen, type SeenReference, seenAs } from './seen.ts';
import { readShrunk, shrunk } from './shrink.ts';
import { type Centre, type Similarity, similarity } from './similarity.ts';
import type { Size } from './smooth.ts';
import { judge, WIDEST } from './verdict.ts';

/** Where two pictures hold nothing that fits together: measured numbers would be nonsense. */
export interface Unregistered {
  readonly status: 'unknown';
  readonly reason: string;
}

/** Pictures up to this many pixels along their longer side are compared as they are; larger ones are shrunk to less. */
const [LONGEST, SHRUNK] = [640, 512];
/** Shorter sides than this hold too little. */
const SMALLEST = 64;
/**
 * A guess is the best of very many places, which the mirrored picture is not given: one kind of structure may agree with
 * it by accident. So many must.
 */
const WITNESSES = 2;

/** Measures how pictures lie on one reference; keeps what it has seen of that. */
export type Registrar = (channel: PlaneSource, options?: StripOptions) => Promise<Registered | Unregistered>;

/**
 * Measures how pictures lie on a reference: features of several sizes, compared in up to 6 × 6 tiles, a joint search for
 * the similarity on which all tiles agree, and its refinement. Large pictures are read once, shrunk, and then in pieces
 * for a closer look. The pictures may differ in size.
 * @param reference shrunk once for all channels
 */
export const createRegistrar = (reference: PlaneSource): Registrar => {
  const known = new Map<number, Promise<SeenReference>>();
  const fineLooks = createFineLooks(reference);
  const seenReference = (factor: number, options: StripOptions): Promise<SeenReference> => {
    const seen = known.get(factor) ?? readShrunk(reference, factor, options).then(referenceAs);
    known.set(factor, seen);
    return seen;
  };
  return async (channel, options = {}) => {
    if (Math.min(reference.width, reference.height, channel.width, channel.height) < SMALLEST)
      return { status: 'unknown', reason: 'the picture is too small to compare' };
    const factor = factorFor(reference, channel);
    const a = await seenReference(factor, options);
    const b = seenAs(await readShrunk(channel, factor, options));
    throwIfCancelled(options.signal);
    const corner = { x: reference.width / 2, y: reference.height / 2 };
    const near = looksAt(a, b, factor, reference);
    const coarse = near.length > 0 ? near : looksFarOff(a, b, factor, reference);
    const verdict = judge(coarse, corner, WIDEST * factor);
    if (verdict.status === 'unknown') return verdict;
    if (factor === 1) return reportOf(verdict.answer, corner);
    const fine = await fineLooks(channel, verdict.answer, options);
    const last = judge([...coarse, ...fine], corner);
    return last.status === 'found' ? reportOf(last.answer, corner) : last;
  };
};

/** A channel much larger than its reference shrinks both, so that memory stays within bounds. */
const factorFor = (reference: PlaneSource, channel: PlaneSource): number => {
  const longest = Math.max(reference.width, reference.height, channel.width / 2, channel.height / 2);
  return longest <= LONGEST ? 1 : Math.ceil(longest / SHRUNK);
};

/**
 * Looks of every kind at pictures shrunk by `factor`, in pixels of the full ones.
 * @param view a map that brings the other picture roughly into place, between full pictures
 */
const looksAt = (a: SeenReference, b: Seen, factor: number, size: Size, view = similarity(centreOf(size))): Look[] => {
  const through = isStill(view) ? b : seenAs(viewed(a, b, factor, view));
  return ASPECTS.flatMap((aspect) => {
    const { kind, further } = aspect;
    // Stars of a shrunk picture are single pixels, which the finest wave sees as well.
    if (kind === ROUND && factor > 1) return [];
    const [one, feature, seen] = [a.feature(aspect), b.feature(aspect), through.feature(aspect)];
    const spectra = a.spectra(aspect);
    if (!(one && spectra && feature && seen)) return [];
    const whole = factor * further;
    const reference = { feature: one, spectra, tiles: a.tiles(aspect) };
    const look = lookBy(kind, reference, { feature, seen, view: mapAt(whole, view) });
    return look === undefined ? [] : [lookAtFull(whole, look, view)];
  });
};

const isStill = ({ a, b, dx, dy }: Similarity): boolean => a === 1 && b === 0 && dx === 0 && dy === 0;

const viewed = (a: Seen, b: Seen, factor: number, view: Similarity): Picture =>
  seenThrough(b.picture, mapAt(factor, view), a.picture.width, a.picture.height);

/** The same through a guess, for pictures that lie far apart. */
const looksFarOff = (a: SeenReference, b: Seen, factor: number, size: Size): Look[] => {
  const longest = Math.max(a.picture.width, a.picture.height, b.picture.width, b.picture.height);
  const further = Math.ceil(longest / SHRUNK);
  const stars = (seen: Seen) =>
    further === 1 ? seen.feature(ASPECTS[0]!) : featureOf(ROUND, shrunk(seen.picture, further));
  const [one, other] = [stars(a), stars(b)];
  if (one === undefined || other === undefined) return [];
  const whole = factor * further;
  const rough = roughSimilarity(one, other, centreAt(whole, centreOf(size)));
  const looks = rough === undefined ? [] : looksAt(a, b, factor, size, mapAtFull(whole, rough, centreOf(size)));
  return looks.length < WITNESSES ? [] : looks;
};

const centreOf = ({ width, height }: Size): Centre => ({ cx: (width - 1) / 2, cy: (height - 1) / 2 });
