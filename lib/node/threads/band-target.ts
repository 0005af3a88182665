import { closeSync, writeSync } from 'node:fs';
import { takePlane } from '../../formats/fits/planes-out.ts';
import { formatOf } from '../../formats/pictures.ts';
import { outputError } from '../../plane/errors.ts';
import { NO_BANDS, type OutputRows, outputRows, type PictureEncoder, type PictureInfo } from '../../plane/picture.ts';
import type { KernelForm } from '../../render/kernel.ts';
import { openToWrite } from '../files/open-sync.ts';
import { reasonOf } from '../files/reason.ts';

/** The file that the bands of a picture go to. Plain data. */
export interface BandTarget {
  /** A file that exists, to be filled. */
  readonly path: string;
  /** The picture as the user named it. */
  readonly name: string;
  readonly place: PlacedBands | OrderedBands;
}

/** Each band has its place: pixels from a byte on, in rows or in planes as `PictureLayout` says. */
export interface PlacedBands {
  readonly kind: 'placed';
  readonly pixelOffset: number;
  readonly planes: boolean;
}

/** Bands of a format that compresses stand one behind the other: threads write them in turn. */
export interface OrderedBands {
  readonly kind: 'ordered';
  readonly info: PictureInfo;
  readonly turn: BandTurn;
}

/** Whose turn it is, and how far the file is written: shared by all threads. */
export interface BandTurn {
  /** The band that is written next. */
  readonly next: Int32Array<SharedArrayBuffer>;
  /** Where it goes, and the checksum of all before it. Only who has the turn looks at these. */
  readonly state: Float64Array<SharedArrayBuffer>;
}

/** The turn of the first band of a picture with a head of so many bytes. */
export const firstTurn = (head: number): BandTurn => {
  const state = new Float64Array(new SharedArrayBuffer(16));
  state.set([head, NO_BANDS]);
  return { next: new Int32Array(new SharedArrayBuffer(4)), state };
};

/** Where a band lies: rows [y, y + rows), given with so many rows above them. */
interface Place {
  readonly y: number;
  readonly rows: number;
  readonly above: number;
}

/** An open target. */
export interface OpenTarget {
  /** Rows above a band that writing it needs. */
  readonly above: number;
  put(pixels: OutputRows, band: number, place: Place): void | Promise<void>;
  close(): void;
}

interface PictureForm {
  readonly width: number;
  readonly height: number;
  readonly form: KernelForm;
}

/** @param goesOn whether other threads still work: who waits for its turn would wait in vain otherwise */
export const openTarget = async (
  { path, name, place }: BandTarget,
  picture: PictureForm,
  goesOn: () => boolean,
): Promise<OpenTarget> => {
  const encoder = place.kind === 'ordered' ? await formatOf(name)!.encoder!(place.info) : undefined;
  const file = openToWrite(path, name);
  const write = (bytes: Uint8Array, offset: number) => writeFully(file, bytes, offset, name);
  const close = () => closeSync(file);
  if (place.kind === 'placed') return { above: 0, put: putPlaced(place, picture, write), close };
  return { above: encoder!.above, put: putInTurn(encoder!, place.turn, picture, write, goesOn), close };
};

type Write = (bytes: Uint8Array, offset: number) => void;

const putPlaced = ({ pixelOffset, planes }: PlacedBands, { width, height, form }: PictureForm, write: Write) => {
  const layout = { width, planes: form.bands, sample: form.sample };
  let room = outputRows(form.sample, 0);
  return (pixels: OutputRows, _band: number, { y, rows }: Place): void => {
    if (!planes) {
      const bytes = new Uint8Array(pixels.buffer, pixels.byteOffset, pixels.byteLength);
      write(bytes, pixelOffset + (y * bytes.length) / rows);
      return;
    }
    if (room.length < rows * width) room = outputRows(form.sample, rows * width);
    for (let plane = 0; plane < form.bands; plane++) {
      const bytes = takePlane(pixels, plane, layout, rows, room.subarray(0, rows * width));
      write(bytes, pixelOffset + ((plane * height + height - y - rows) * bytes.length) / rows);
    }
  };
};

const putInTurn =
  (
    encoder: PictureEncoder,
    { next, state }: BandTurn,
    { width, form }: PictureForm,
    write: Write,
    goesOn: () => boolean,
  ) =>
  async (pixels: OutputRows, band: number, { y, above }: Place): Promise<void> => {
    const start = above * width * form.bands;
    const encoded = encoder.encode(pixels.subarray(start), y, above > 0 ? pixels.subarray(0, start) : undefined);
    if (!(await myTurn(next, band, goesOn))) return;
    let at = state[0]!;
    for (const bytes of encoded.bytes) {
      write(bytes, at);
      at += bytes.length;
    }
    state[0] = at;
    state[1] = encoder.join(state[1]!, encoded);
    Atomics.store(next, 0, band + 1);
    Atomics.notify(next, 0);
  };

/** In ms: so often who waits looks whether the others have stopped. */
const LOOK = 50;

/** TypeScript's library of 2023 does not know it; Node does since 16. */
const { waitAsync } = Atomics as unknown as {
  waitAsync(numbers: Int32Array, index: number, value: number, timeout: number): { readonly value: unknown };
};

/** Waits until all bands before this one are written; false where they never will be. */
const myTurn = async (next: Int32Array, band: number, goesOn: () => boolean): Promise<boolean> => {
  for (;;) {
    const now = Atomics.load(next, 0);
    if (now === band) return true;
    if (!goesOn()) return false;
    await waitAsync(next, 0, now, LOOK).value;
  }
};

const writeFully = (file: number, bytes: Uint8Array, offset: number, name: string): void => {
  try {
    for (let done = 0; done < bytes.length; ) done += writeSync(file, bytes, done, bytes.length - done, offset + done);
  } catch (cause) {
    const advice = 'check the folder, its permissions and the free space';
    throw outputError(name, `cannot be written: ${reasonOf(cause)}`, advice);
  }
};
