import { existsSync, readFileSync } from 'node:fs';
import { readdir } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { InvalidArgumentError, Option } from 'commander';
import { makeFolder } from '../node/files/file-sink.ts';
import { nameFault } from '../node/files/name-fault.ts';
import { writeContent } from '../node/files/write-whole.ts';
import { throwIfCancelled } from '../plane/errors.ts';
import { SAMPLE_TARGETS, type SampleFile, type SampleRequest, sampleScene } from './sample-scene.ts';
import { examples, type Verb } from './verb.ts';

/** Masters that are computed already lie beside the source (from lib/cli and dist/lib/cli); the package has none of them. */
const MASTERS = ['../../samples/masters/', '../../../samples/masters/']
  .map((path) => fileURLToPath(new URL(path, import.meta.url)))
  .find((folder) => existsSync(join(folder, 'emberwing-H.fits')));

const WHOLE = /^emberwing-[A-Z].*\.fits(\.gz)?$/;
const APART = /^emberwing-star.*\.(fits|tif)$/;

interface Flags {
  readonly target?: (typeof SAMPLE_TARGETS)[number];
  readonly starless?: boolean;
  readonly subs?: boolean;
  readonly size?: number;
  readonly force?: boolean;
  readonly quiet?: boolean;
}

const width = (text: string): number => {
  if (!/^\d{1,4}$/.test(text) || Number(text) < 120 || Number(text) > 6000)
    throw new InvalidArgumentError('Give a whole number from 120 to 6000.');
  return Number(text);
};

/** `linewash samples`: writes the demo masters. */
export const samples: Verb = (program, { streams, signal, progress }) => {
  program
    .command('samples')
    .summary('write the demo masters')
    .description('Writes masters of an invented nebula to a folder, to try linewash with.')
    .argument('<folder>', 'folder for the files; created if needed')
    .addOption(
      new Option(
        '--target <name>',
        'which nebula: emberwing (the default), brightfen (its lines go together) or palehoop (a faint shell)',
      ).choices(SAMPLE_TARGETS),
    )
    .option(
      '--starless',
      'write the scene without stars (emberwing: a part of it), and its stars as a picture for --stars',
    )
    .addOption(
      new Option('--subs', 'write small files with the headers of sub-exposures, one folder a night').conflicts([
        'starless',
        'size',
      ]),
    )
    .option('--size <pixels>', 'width of the frame; the height follows', width)
    .option('--force', 'replace files that exist and differ')
    .option('--quiet', 'no progress')
    .addHelpText(
      'after',
      examples(
        'linewash samples demo',
        'linewash mix ember S=demo/emberwing-S.fits H=demo/emberwing-H.fits O=demo/emberwing-O.fits -o demo/ember.tif',
        'linewash samples demo --target palehoop',
        'linewash samples demo/subs --subs',
      ),
    )
    .action(async (folder: string, flags: Flags) => {
      const bar = progress(flags.quiet ?? false);
      const told = new Set<string>();
      await makeFolder(folder);
      try {
        bar.show('samples', 0);
        for await (const { name, bytes, done } of filesOf(flags)) {
          throwIfCancelled(signal);
          const path = join(folder, name);
          if (dirname(path) !== folder) await makeFolder(dirname(path));
          await writeSample(path, bytes, flags.force ?? false);
          bar.show('samples', done);
          // Hundreds of subs are told by the folder.
          told.add(flags.subs ? dirname(path) : path);
        }
      } finally {
        bar.clear();
        for (const path of told) streams.out(`${path}\n`);
      }
    });
};

/** The files that were asked for: as computed before where they are, else computed now, with the same content. */
async function* filesOf({ target, starless, subs, size }: Flags): AsyncIterable<SampleFile> {
  if (MASTERS === undefined || subs || size !== undefined || (target ?? 'emberwing') !== 'emberwing') {
    const kind: SampleRequest['kind'] = subs ? 'subs' : starless ? 'starless' : 'masters';
    yield* (await sampleScene()).sampleFiles({
      kind,
      ...(target !== undefined && { target }),
      ...(size !== undefined && { width: size }),
    });
    return;
  }
  const names = (await readdir(MASTERS)).filter((name) => (starless ? APART : WHOLE).test(name));
  for (const [i, name] of names.entries())
    yield { name, bytes: readFileSync(join(MASTERS, name)), done: (i + 1) / names.length };
}

/** A file that holds the sample already is left as it is, so that the command can be given again. */
const writeSample = async (path: string, bytes: Uint8Array, force: boolean): Promise<void> => {
  if (holds(path, bytes)) return;
  const fault = await nameFault(path, force);
  if (fault !== undefined) throw fault;
  await writeContent(path, force, bytes);
};

const holds = (path: string, bytes: Uint8Array): boolean => {
  try {
    return readFileSync(path).equals(bytes);
  } catch {
    return false; // what stands in the way is told when it is written
  }
};
