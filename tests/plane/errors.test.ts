import { describe, expect, it } from 'vitest';
import {
  formatError,
  inputError,
  LinewashError,
  outputError,
  recipeError,
  throwIfCancelled,
} from '../../lib/plane/errors.ts';

const caught = (work: () => void): unknown => {
  try {
    work();
  } catch (cause) {
    return cause;
  }
  return undefined;
};
const fault = { path: '$.matrix', message: 'expected three rows', line: 2, column: 5 };

describe('errors', () => {
  it.each([
    ['format', formatError('a.fits', 'it ends early', 'copy it again')],
    ['input', inputError('it ends early', 'copy it again', 'a.fits')],
    ['output', outputError('a.fits', 'it ends early', 'copy it again')],
  ])('of kind %s carry file, message and advice', (tag, error) => {
    expect(error).toBeInstanceOf(LinewashError);
    expect(error).toBeInstanceOf(Error);
    expect(error.toFields()).toEqual({
      tag,
      file: 'a.fits',
      message: 'it ends early',
      advice: 'copy it again',
      faults: [],
    });
  });

  it('of a recipe list their faults; a single one is the message', () => {
    const one = recipeError([fault], 'r.json', 'mend it');
    expect(one).toMatchObject({ tag: 'recipe', file: 'r.json', advice: 'mend it', faults: [fault] });
    expect(one.message).toContain('$.matrix');
    expect(one.message).toContain('expected three rows');
    const two = recipeError([fault, { ...fault, path: '$.name' }]);
    expect(two.faults).toHaveLength(2);
    expect(two.message).toContain('2');
    expect(two).toMatchObject({ file: undefined, advice: undefined });
  });

  it('cross a worker as plain data', () => {
    const error = recipeError([fault], 'r.json', 'mend it');
    const other = new LinewashError(structuredClone(error.toFields()));
    expect(other.toFields()).toEqual(error.toFields());
    expect([other.name, other.message]).toEqual(['LinewashError', error.message]);
  });

  it('of cancelling are thrown once the signal is raised', () => {
    const controller = new AbortController();
    expect(caught(() => throwIfCancelled())).toBeUndefined();
    expect(caught(() => throwIfCancelled(controller.signal))).toBeUndefined();
    controller.abort();
    const error = caught(() => throwIfCancelled(controller.signal)) as LinewashError;
    expect(error).toMatchObject({ name: 'LinewashError', tag: 'cancelled' });
    expect(error.message).not.toBe('');
  });
});
