import { createReadStream } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Option } from 'commander';
import { PICTURE_FORMATS } from '../formats/pictures.ts';
import { usage } from './lines.ts';
import type { Streams } from './streams.ts';

/** What `-o` is given for standard output. */
const PIPE = '-';

/** The options of a verb that can write its picture to standard output. */
export interface PipeFlags {
  readonly output: string;
  readonly format?: string;
  readonly json?: boolean;
}

export const formatOption = (): Option =>
  new Option('--format <ending>', 'the format for -o -, which writes to standard output (default: png)').choices(
    PICTURE_FORMATS.map(({ extensions }) => extensions[0]!),
  );

/**
 * Writes to the file that the user named or, for `-o -`, to standard output: what goes there is whole first, as files are,
 * in a temporary folder.
 * @param write makes the file of that name
 * @throws LinewashError 'usage' where standard output shows text, or has other things to say.
 */
export const toOutput = async <T>(
  { output, format, json }: PipeFlags,
  streams: Streams,
  write: (file: string) => Promise<T>,
): Promise<T> => {
  if (output !== PIPE) {
    if (format !== undefined) throw usage('--format belongs to -o -', 'a file gets its format from its ending');
    return write(output);
  }
  if (json) throw usage('-o - and --json both write to standard output', 'give one of them');
  if (streams.pipe === undefined)
    throw usage('standard output is a terminal, which cannot show a picture', 'name a file, or send it on with | or >');
  const folder = await mkdtemp(join(tmpdir(), 'linewash-'));
  try {
    const file = join(folder, `picture.${format ?? 'png'}`);
    const result = await write(file);
    await streams.pipe(createReadStream(file));
    return result;
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
};

/** Whether results go to standard output as bytes, so that no word may. */
export const isPiped = ({ output }: Pick<PipeFlags, 'output'>): boolean => output === PIPE;
