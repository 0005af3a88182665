import { type ByteSource, checkRange } from '../../plane/bytes.ts';
import { formatError, type LinewashError } from '../../plane/errors.ts';
import { LONGEST, MARK, NOTE_START } from './marks.ts';

/** Longest note that is read, in bytes. */
const MOST_NOTE = 1 << 24;
/** Segments before the pixels of which any is looked at: far beyond any picture. */
const MOST_SEGMENTS = 4096;

const damaged = (name: string, what: string): LinewashError =>
  formatError(name, `the JPEG is damaged: ${what}`, 'copy the picture again, or use another copy');

/** A segment with a length: where its content lies. */
interface Segment {
  readonly mark: number;
  readonly at: number;
  readonly length: number;
}

/** Marks that stand alone, without a length (ITU-T T.81 Table B.1). */
const standsAlone = (mark: number): boolean => mark === 1 || (mark >= MARK.restart && mark <= MARK.end);

/** The segments before the first scan, in their order. */
async function* segmentsOf(source: ByteSource): AsyncGenerator<Segment> {
  const { name, size } = source;
  for (let at = 2, n = 0; ; n++) {
    if (n === MOST_SEGMENTS) throw formatError(name, 'it holds more segments than any picture needs');
    checkRange(name, size, at, 4);
    const [sign, mark, high, low] = await source.read(at, 4);
    if (sign !== 0xff) throw damaged(name, `no marker where one must be, at byte ${at}`);
    // Markers may be preceded by any number of bytes of ones (§B.1.1.2).
    if (mark === 0xff) {
      at++;
      continue;
    }
    if (mark === MARK.scan || mark === MARK.end) return;
    if (mark === 0 || standsAlone(mark!)) throw damaged(name, `marker ${mark} before the picture begins`);
    const length = high! * 256 + low!;
    if (length < 2) throw damaged(name, `a segment of ${length} bytes at byte ${at}`);
    checkRange(name, size, at + 4, length - 2);
    yield { mark: mark!, at: at + 4, length: length - 2 };
    at += 2 + length;
  }
}

/** Whether a comment begins as notes of linewash do. */
const beginsNote = async (source: ByteSource, { at, length }: Segment): Promise<boolean> => {
  if (length < NOTE_START.length) return false;
  const head = await source.read(at, NOTE_START.length);
  return String.fromCharCode(...head) === NOTE_START;
};

/**
 * The note that a picture written by linewash carries in its comments, exactly as written; undefined where there is none.
 * A comment that is full goes on in the next. Pixels are not read.
 * @throws LinewashError 'format' where the file is no JPEG, a segment leaves it or is none, or the note ends early or is
 * longer than 16 MiB.
 */
export const readJpegNote = async (source: ByteSource): Promise<string | undefined> => {
  const { name, size } = source;
  const start = size < 2 ? new Uint8Array(2) : await source.read(0, 2);
  if (start[0] !== 0xff || start[1] !== MARK.start) throw formatError(name, 'this is not a JPEG file');
  const decoder = new TextDecoder('utf-8', { ignoreBOM: true });
  let note: string | undefined;
  let read = 0;
  for await (const segment of segmentsOf(source)) {
    if (note === undefined) {
      if (segment.mark !== MARK.comment || !(await beginsNote(source, segment))) continue;
    } else if (segment.mark !== MARK.comment) break;
    read += segment.length;
    if (read > MOST_NOTE) throw formatError(name, `its note is longer than ${MOST_NOTE} bytes`);
    note = (note ?? '') + decoder.decode(await source.read(segment.at, segment.length), { stream: true });
    if (segment.length < LONGEST) return note + decoder.decode();
  }
  if (note !== undefined) throw damaged(name, 'its note ends early');
  return undefined;
};
