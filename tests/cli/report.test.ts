import { describe, expect, it } from 'vitest';
import { processStreams } from '../../lib/cli/process-streams.ts';
import { reportError, reportPicture, reportWarnings } from '../../lib/cli/report.ts';
import { type ErrorTag, LinewashError, outputError, type Remedy } from '../../lib/plane/errors.ts';

const spoken = () => {
  const said = { out: '', err: '' };
  const streams = {
    out: (text: string) => {
      said.out += text;
    },
    err: (text: string) => {
      said.err += text;
    },
    interactive: false,
    colour: false,
  };
  return { said, streams };
};

const reported = (cause: unknown) => {
  const { said, streams } = spoken();
  return { code: reportError(cause, streams), ...said };
};

describe('an error', () => {
  // The promise of the command line: 2 usage, recipe or input, nothing written; 1 failed work; 130 interrupted.
  it.each<[ErrorTag, number]>([
    ['format', 2],
    ['input', 2],
    ['recipe', 2],
    ['usage', 2],
    ['output', 1],
    ['cancelled', 130],
  ])('of kind %s ends with %d', (tag, code) =>
    expect(reported(new LinewashError({ tag, message: 'so' }))).toEqual({ code, out: '', err: 'linewash: so\n' }),
  );

  it('names its file and says what to do', () => {
    const { err } = reported(
      new LinewashError({ tag: 'format', file: 'a.fits', message: 'is torn', advice: 'copy it again' }),
    );
    expect(err).toBe('linewash: a.fits: is torn\n  → copy it again\n');
  });

  it('names the flag that helps', () => {
    const help = (remedy: Remedy) => reported(outputError('a.tif', 'no', 'do it', remedy)).err.split('\n')[1];
    expect(help({ option: 'force' })).toBe('  → do it (--force)');
    expect(help({ option: 'apart' })).toBe('  → do it (--combine-apart)');
    expect(help({ option: 'time', line: 'Ha' })).toBe('  → do it (--time Ha=4.5h)');
    expect(help({ option: 'sky', line: 'O' })).toBe('  → do it (--gain and --pedestal, or --sky O=RATE)');
    expect(help({ option: 'box' })).toBe('  → do it (--box LEFT,TOP,WIDTH,HEIGHT)');
  });

  it('lists faults instead of its message, with their places where these are known', () => {
    const faults = [{ path: '$.a', message: 'no', line: 3, column: 7 } as const, { path: '$.b', message: 'nor' }];
    const error = (some: typeof faults, file?: string) =>
      new LinewashError({ tag: 'recipe', message: 'hidden', faults: some, file });
    expect(reported(error(faults, 'r.json')).err).toBe(
      'linewash: r.json: 2 faults\n  line 3, column 7, $.a: no\n  $.b: nor\n',
    );
    expect(reported(error([faults[1]!])).err).toBe('linewash: one fault\n  $.b: nor\n');
  });

  it('lets no control character of file, fault, message or advice reach the terminal', () => {
    const evil = '\x1b[2J\u202e\x9b';
    const faults = [{ path: evil, message: evil }];
    const fields = { tag: 'recipe', message: evil, file: evil, advice: evil } as const;
    for (const cause of [new LinewashError(fields), new LinewashError({ ...fields, faults })])
      expect(reported(cause).err.replaceAll('\n', '')).not.toMatch(/\p{Cc}|\u202e/u);
  });

  it.each([
    ['with a stack: where it happened', new RangeError('too far'), /RangeError: too far\n +at .*report\.test/],
    ['without one', Object.assign(new Error('no stack'), { stack: undefined }), /no stack\n$/],
    ['that is none', 'thrown text', /thrown text\n$/],
  ])('that nobody foresaw, %s, is called a defect and ends with 1', (_, cause, text) => {
    const { code, out, err } = reported(cause);
    expect([code, out]).toEqual([1, '']);
    expect(err).toMatch(/bug in linewash/);
    expect(err).toMatch(text);
  });
});

describe('notes and pictures', () => {
  const picture = { output: 'a.tif', warnings: ['one\x1b', 'two'] };

  it('notes go to the messages, one a line', () => {
    const { said, streams } = spoken();
    reportWarnings(picture.warnings, streams);
    expect(said).toEqual({ out: '', err: 'linewash: note: one \nlinewash: note: two\n' });
  });

  it('the name of a picture is the result, or all that is known of it as JSON', () => {
    const plain = spoken();
    reportPicture(picture, plain.streams, { output: 'a.tif' });
    expect(plain.said.out).toBe('a.tif\n');
    expect(plain.said.err.match(/note/g)).toHaveLength(2);
    const machine = spoken();
    reportPicture(picture, machine.streams, { output: 'a.tif', json: true });
    expect(JSON.parse(machine.said.out)).toEqual(picture);
    expect(machine.said.out.endsWith('}\n')).toBe(true);
    expect(machine.said.err.match(/note/g)).toHaveLength(2);
    const pipe = spoken();
    reportPicture(picture, pipe.streams, { output: '-' });
    expect(pipe.said.out).toBe('');
  });
});

describe('the terminal', () => {
  /** With the two streams of this process said to be terminals or not, and an environment of its own. */
  const seen = (out: boolean, err: boolean, env: Record<string, string>) => {
    const before = { out: process.stdout.isTTY, err: process.stderr.isTTY, env: process.env };
    const { CI: _, NO_COLOR: __, ...rest } = process.env;
    try {
      process.stdout.isTTY = out;
      process.stderr.isTTY = err;
      process.env = { ...rest, ...env };
      const { interactive, colour } = processStreams();
      return [interactive, colour];
    } finally {
      process.stdout.isTTY = before.out;
      process.stderr.isTTY = before.err;
      process.env = before.env;
    }
  };

  it('has a bar where messages go to it, unless a machine runs the command', () => {
    expect(seen(false, true, {})).toEqual([true, false]);
    expect(seen(false, true, { CI: '1' })).toEqual([false, false]);
    expect(seen(true, false, {})[0]).toBe(false);
  });

  it('has colours where results go to it, unless the person wants none (no-color.org)', () => {
    expect(seen(true, false, {})).toEqual([false, true]);
    expect(seen(true, false, { NO_COLOR: '1' })).toEqual([false, false]);
    expect(seen(false, true, {})[1]).toBe(false);
  });
});
