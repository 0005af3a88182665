import type { Thinning } from './colour.ts';

/** What a strip or tile must be. */
export interface JpegShape {
  readonly width: number;
  /** The fewest and the most rows: the last strip may be padded. */
  readonly rows: readonly [number, number];
  /** 3 for colour, 1 for grey. */
  readonly components: number;
  /** Whether colours are stored as luminance and differences, which may have fewer samples. */
  readonly differences: boolean;
}

/** Says what is wrong with a stream; the sentence continues "strip 3 …". */
export class JpegFault extends Error {}

const refuse = (what: string): never => {
  throw new JpegFault(what);
};

const [SOF0, SOF1, DHT, SOI, EOI, SOS, DQT, DRI, ADOBE] = [0xc0, 0xc1, 0xc4, 0xd8, 0xd9, 0xda, 0xdb, 0xdd, 0xee];
/** Frame headers of other processes than those that are read: progressive, lossless, arithmetic (T.81, table B.1). */
const isOtherFrame = (mark: number) => mark >= 0xc2 && mark <= 0xcf && mark !== DHT && mark !== 0xc8;
const isApplication = (mark: number) => (mark >= 0xe0 && mark <= 0xef) || mark === 0xfe;
const isRestart = (byte: number) => byte >= 0xd0 && byte <= 0xd7;

interface Segment {
  readonly mark: number;
  readonly body: Uint8Array;
  /** Where what follows begins. */
  readonly next: number;
}

/** The segment at a place, with any number of fill bytes before it (T.81, B.1.1.2). */
const segmentAt = (bytes: Uint8Array, at: number): Segment => {
  let place = at;
  if (bytes[place] !== 0xff) refuse('holds damaged JPEG data: a marker is missing');
  while (bytes[place + 1] === 0xff) place++;
  const mark = bytes[place + 1] ?? refuse('holds JPEG data that end early');
  if (mark === EOI || mark === SOI) return { mark, body: bytes.subarray(0, 0), next: place + 2 };
  const length = (bytes[place + 2]! << 8) | bytes[place + 3]!;
  const next = place + 2 + length;
  if (!(length >= 2 && next <= bytes.length)) refuse('holds JPEG data that end early');
  return { mark, body: bytes.subarray(place + 4, next), next };
};

const checkQuantization = (body: Uint8Array): void => {
  for (let at = 0; at < body.length; ) {
    const [wide, id] = [body[at]! >> 4, body[at]! & 15];
    at += 1 + 64 * (wide + 1);
    if (wide > 1 || id > 3 || at > body.length) refuse('holds a damaged JPEG quantization table');
  }
};

/** Code lengths must leave room for every code, or decoders disagree on what they mean (T.81, annex C). */
const checkHuffman = (body: Uint8Array): void => {
  for (let at = 0; at < body.length; ) {
    const [kind, id] = [body[at]! >> 4, body[at]! & 15];
    let [codes, room] = [0, 1];
    for (let length = 1; length <= 16; length++) {
      const count = body[at + length] ?? 256;
      codes += count;
      room = 2 * room - count;
      if (room < 0) break;
    }
    at += 17 + codes;
    if (kind > 1 || id > 3 || room < 0 || codes > 256 || at > body.length) refuse('holds a damaged JPEG Huffman table');
  }
};

interface Component {
  readonly h: number;
  readonly v: number;
}

interface Frame {
  readonly width: number;
  readonly height: number;
  readonly components: ReadonlyMap<number, Component>;
}

const SAMPLING = new Set([1, 2, 4]);
/** Most blocks of one step of a scan (T.81, B.2.3). */
const MOST_BLOCKS = 10;

const frameOf = (body: Uint8Array, shape: JpegShape): Frame => {
  const [precision, count] = [body[0], body[5]!];
  const [height, width] = [(body[1]! << 8) | body[2]!, (body[3]! << 8) | body[4]!];
  if (precision !== 8) refuse(`holds JPEG data of ${precision} bits; only 8 are read`);
  if (width !== shape.width || !(height >= shape.rows[0] && height <= shape.rows[1]))
    refuse(`holds JPEG data of ${width} × ${height} pixels where ${shape.width} × ${shape.rows[0]} are expected`);
  if (count !== shape.components || body.length !== 6 + 3 * count)
    refuse(`holds JPEG data of ${count} components where ${shape.components} are expected`);
  const components = new Map<number, Component>();
  for (let at = 6; at < body.length; at += 3) {
    const [h, v] = [body[at + 1]! >> 4, body[at + 1]! & 15];
    if (!SAMPLING.has(h) || !SAMPLING.has(v) || body[at + 2]! > 3) refuse('holds a damaged JPEG frame header');
    components.set(body[at]!, { h, v });
  }
  const all = [...components.values()];
  if (all.length !== count) refuse('holds a damaged JPEG frame header');
  if (count > 1 && all.reduce((sum, { h, v }) => sum + h * v, 0) > MOST_BLOCKS)
    refuse('holds a damaged JPEG frame header');
  const [first, ...others] = all;
  if (others.some(({ h, v }) => h !== others[0]!.h || v !== others[0]!.v || h > first!.h || v > first!.v))
    refuse('holds JPEG data with an unusual number of samples for colours');
  if (!shape.differences && others.some(({ h, v }) => h !== first!.h || v !== first!.v))
    refuse('holds JPEG data with thinned-out colours, though its tags say that it holds red, green and blue');
  return { width, height, components };
};

/** How many pixels share a sample of the components behind the first. */
const thinningOf = ({ components }: Frame): Thinning => {
  const [first, second = first] = [...components.values()];
  return { across: first!.h / second!.h, down: first!.v / second!.v };
};

/** Steps that a scan takes: blocks of its only component, or groups of blocks of all. */
const stepsOf = ({ width, height, components }: Frame, ids: readonly number[]): number => {
  const all = [...components.values()];
  const [most, mostV] = [Math.max(...all.map(({ h }) => h)), Math.max(...all.map(({ v }) => v))];
  if (ids.length > 1) return Math.ceil(width / (8 * most)) * Math.ceil(height / (8 * mostV));
  const { h, v } = components.get(ids[0]!)!;
  return Math.ceil(Math.ceil((width * h) / most) / 8) * Math.ceil(Math.ceil((height * v) / mostV) / 8);
};

/** The components of a scan: all of them, or one that had none yet. */
const scanOf = (body: Uint8Array, frame: Frame, done: Set<number>): number[] => {
  const count = body[0]!;
  const ids = Array.from({ length: count }, (_, i) => body[1 + 2 * i]!);
  const fits = body.length === 4 + 2 * count && (count === 1 || count === frame.components.size);
  if (!fits || ids.some((id) => done.has(id) || !frame.components.has(id)) || new Set(ids).size !== count)
    refuse('holds a damaged JPEG scan header');
  const [start, end, bits] = body.subarray(1 + 2 * count);
  if (start !== 0 || end !== 63 || bits !== 0) refuse('holds a damaged JPEG scan header');
  for (const id of ids) done.add(id);
  return ids;
};

/** Where the coded data from `at` on end, and how many restart markers lie in them. */
const codedEnd = (bytes: Uint8Array, at: number): { next: number; restarts: number } => {
  let restarts = 0;
  for (let place = bytes.indexOf(0xff, at); place >= 0; place = bytes.indexOf(0xff, place)) {
    const byte = bytes[place + 1];
    if (byte === undefined) break;
    if (isRestart(byte)) restarts++;
    else if (byte !== 0 && byte !== 0xff) return { next: place, restarts };
    place += byte === 0xff ? 1 : 2;
  }
  return refuse('holds JPEG data that end early');
};

const checkScan = (frame: Frame, ids: readonly number[], interval: number, restarts: number): void => {
  const steps = stepsOf(frame, ids);
  const expected = interval === 0 ? 0 : Math.ceil(steps / interval) - 1;
  if (restarts !== expected)
    refuse(`holds damaged JPEG data: ${restarts} restart markers where ${expected} are expected`);
  // The decoder runs over the end of such a scan.
  if (ids.length === 1 && interval > 0 && steps % interval !== 0)
    refuse('holds JPEG data of one component whose restart intervals do not fill it, which are not read');
};

/** @returns the restart interval that a table sets, else the one before */
const checkTable = ({ mark, body }: Segment, before: number): number => {
  if (mark === DQT) checkQuantization(body);
  else if (mark === DHT) checkHuffman(body);
  else if (mark === DRI) return body.length === 2 ? (body[0]! << 8) | body[1]! : refuse('holds a damaged JPEG table');
  else if (isOtherFrame(mark)) refuse('holds JPEG data of another kind than baseline (progressive, or arithmetic)');
  else if (!isApplication(mark)) refuse(`holds the JPEG marker ${mark.toString(16)}, which has no place there`);
  return before;
};

/** Whether samples are stored as luminance and differences, where the writer noted it. */
const notedTransform = ({ mark, body }: Segment): boolean | undefined => {
  const isAdobe = mark === ADOBE && body.length >= 12 && String.fromCharCode(...body.subarray(0, 5)) === 'Adobe';
  return isAdobe ? body[11] !== 0 : undefined;
};

const begin = (bytes: Uint8Array): number => {
  const { mark, next } = segmentAt(bytes, 0);
  return mark === SOI ? next : refuse('holds no JPEG data');
};

/**
 * Checks the tables that all strips share (TIFF Technical Note 2: JPEGTables).
 * @throws JpegFault where they are more than tables, or damaged
 */
export const checkTables = (bytes: Uint8Array): void => {
  for (let at = begin(bytes); ; ) {
    const segment = segmentAt(bytes, at);
    if (segment.mark === EOI) return;
    checkTable(segment, 0);
    at = segment.next;
  }
};

/**
 * Checks the stream of one strip or tile before it is decoded: baseline or extended sequential, Huffman, 8 bits, of the
 * expected size, each component once (ITU-T T.81). So what decoding costs follows from the size.
 * @returns how many pixels share a sample of colour difference
 * @throws JpegFault naming what is wrong
 */
export const checkStream = (bytes: Uint8Array, shape: JpegShape): Thinning => {
  let frame: Frame | undefined;
  let interval = 0;
  const done = new Set<number>();
  for (let at = begin(bytes); ; ) {
    const segment = segmentAt(bytes, at);
    const { mark, body } = segment;
    at = segment.next;
    if (mark === EOI) break;
    if (mark === SOF0 || mark === SOF1) {
      if (frame !== undefined) refuse('holds two JPEG frames');
      frame = frameOf(body, shape);
    } else if (mark === SOS) {
      const ids = scanOf(body, frame ?? refuse('holds a JPEG scan without a frame'), done);
      const { next, restarts } = codedEnd(bytes, at);
      checkScan(frame!, ids, interval, restarts);
      at = next;
    } else interval = checkTable(segment, interval);
    const differences = notedTransform(segment);
    if (differences !== undefined && shape.components === 3 && differences !== shape.differences)
      refuse('holds JPEG data whose colours are coded in another way than its tags say');
  }
  if (frame === undefined || done.size !== frame.components.size)
    return refuse('holds JPEG data without all of its colours');
  return thinningOf(frame);
};
