import { existsSync } from 'node:fs';
import { basename, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { InvalidArgumentError } from 'commander';
import { lineIn } from '../measure/filters.ts';
import { openFile } from '../node/files/file-source.ts';
import { splitFiles } from '../node/files/spelling.ts';
import { openBrowser } from '../node/page/open-browser.ts';
import { type ServedMaster, servePage } from '../node/page/page-server.ts';
import { parseLines } from './lines.ts';
import { namesLine } from './masters.ts';
import { examples, type Verb } from './verb.ts';

/** The built page: beside the built command, or in the build of the source. */
const PAGES = ['../../page/', '../../dist/page/'].map((path) => fileURLToPath(new URL(path, import.meta.url)));

interface Flags {
  readonly open: boolean;
  readonly port?: number;
}

const port = (text: string): number => {
  if (!/^\d{1,5}$/.test(text) || Number(text) < 1 || Number(text) > 65535)
    throw new InvalidArgumentError('Give a whole number from 1 to 65535.');
  return Number(text);
};

/** `linewash page`: serves the page to this computer and opens it. */
export const page: Verb = (program, { streams, signal }) => {
  program
    .command('page')
    .summary('open the page in the browser, with these masters')
    .description(
      'Serves the page to this computer alone and opens it in the browser, with the masters that are named or else the ' +
        'samples. It serves the page and these masters, nothing else, until it is ended by Ctrl-C.',
    )
    .argument('[masters...]', 'masters as LINE=FILE, or files alone: the page finds their line')
    .option('--no-open', 'only print the address')
    .option('--port <number>', 'the port to use (default: any that is free)', port)
    .addHelpText(
      'after',
      examples('linewash page', 'linewash page S=S.fits H=H.fits O=O.fits', 'linewash page --no-open'),
    )
    .action(async (words: string[], flags: Flags) => {
      const masters = await mastersOf(words);
      const folder = PAGES.find((place) => existsSync(join(place, 'index.html')))!;
      const server = await servePage(folder, masters, flags.port);
      streams.out(`${server.address}\n`);
      if (flags.open && !(await openBrowser(server.address)))
        streams.err('linewash: no browser could be opened: open this address yourself\n');
      streams.err('Ctrl-C ends it.\n');
      await ended(signal);
      await server.close();
    });
};

/** Every file by itself, looked at before a browser opens. @throws LinewashError 'input' where one cannot be read. */
const mastersOf = async (words: readonly string[]): Promise<ServedMaster[]> => {
  const named = words.map((word) => (namesLine(word) ? Object.entries(parseLines([word]))[0]! : [undefined, word]));
  const masters: ServedMaster[] = [];
  for (const [line, spelling] of named)
    for (const { path, spelling: own } of await splitFiles(spelling!)) {
      await openFile(path, own).then((file) => file.close());
      // The page calls lines by their own names, however they were spelt.
      masters.push({ name: basename(path) + own.slice(path.length), line: line && (lineIn(line) ?? line), path });
    }
  return masters;
};

const ended = (signal: AbortSignal): Promise<void> =>
  new Promise((resolve) => {
    if (signal.aborted) resolve();
    signal.addEventListener('abort', () => resolve());
  });
