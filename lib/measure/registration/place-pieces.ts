import type { CreatePieceWorker } from '../../plane/piece-work.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import type { StripOptions } from '../../plane/strips.ts';
import { createGlance } from './glance.ts';
import { createRegistrar, type Registrar, type Unregistered } from './register.ts';
import type { Registered } from './report.ts';

/** How a picture lies on a reference; plain JSON. */
export type Place = Registered | Unregistered;

/** How closely pictures are compared. */
export interface Placing {
  /** Whether a glance is enough where all points fit for certain. */
  readonly glances: boolean;
}

/**
 * How pictures lie on one reference, each measured by one of the threads there are; alone by this one.
 * @returns places in the order of the pictures; they do not depend on who measured them
 */
export const placeAll = async (
  reference: PlaneSource,
  channels: readonly PlaneSource[],
  placing: Placing,
  { signal, executor, progress }: StripOptions = {},
): Promise<Place[]> => {
  const work = {
    kind: 'place',
    sources: [reference, ...channels],
    question: placing,
    pieces: channels.length,
  } as const;
  const shared = channels.length > 1 ? executor?.pieces?.(work, progress) : undefined;
  if (shared !== undefined) return (await shared).map(unpackPlace);
  const place = placer(reference, placing);
  const places: Place[] = [];
  for (const channel of channels) {
    places.push(await place(channel, { signal }));
    progress?.(places.length / channels.length);
  }
  return places;
};

const placer = (reference: PlaneSource, { glances }: Placing): Registrar => {
  const glance = glances ? createGlance(reference) : undefined;
  const register = createRegistrar(reference);
  return async (channel, options) => (await glance?.(channel, options)) ?? (await register(channel, options));
};

/** Measures how the sources after the first lie on that, on any thread; what it has seen of the first it keeps. */
export const createPlaceWorker: CreatePieceWorker = ([reference, ...channels], question) => {
  const place = placer(reference!, question as Placing);
  return async (piece) => packPlace(await place(channels[piece]!));
};

/** As JSON, filled up with blanks. */
const packPlace = (place: Place): Float32Array<ArrayBuffer> => {
  const text = new TextEncoder().encode(JSON.stringify(place));
  const bytes = new Uint8Array(4 * Math.ceil(text.length / 4)).fill(0x20);
  bytes.set(text);
  return new Float32Array(bytes.buffer);
};

const unpackPlace = ({ buffer, byteOffset, byteLength }: Float32Array): Place =>
  JSON.parse(new TextDecoder().decode(new Uint8Array(buffer, byteOffset, byteLength)));
