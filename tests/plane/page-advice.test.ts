import { describe, expect, it } from 'vitest';
import { inputError, LinewashError, recipeError } from '../../lib/plane/errors.ts';
import { errorWords } from '../../playground/model/error-words.ts';

describe('what the page says of an error', () => {
  it('names its own control where an option helps, and survives the way out of a worker', () => {
    const apart = inputError('they lie apart', 'combine them anyway', 'H.fits', { option: 'apart' });
    const arrived = new LinewashError(structuredClone(apart.toFields()));
    expect(arrived.advice).toBe('combine them anyway');
    expect(errorWords(arrived)).toEqual({
      words: 'H.fits: they lie apart',
      advice: 'Register the masters of this line to one frame, or close one of them.',
    });
    const time = inputError('no hours', 'give them', undefined, { option: 'time', line: 'O' });
    expect(errorWords(time).advice).toBe('Type the hours of O under Hours.');
  });

  it('is free of the syntax of recipes and commands', () => {
    expect(errorWords(inputError('a', 'run it with --force')).advice).toBeUndefined();
    const faults = [
      { path: '$.matrix[1][2]', message: 'found {"x":1}; a weight is a number' },
      { path: "$.levels['H a'].black", message: '"a b": a sign is missing' },
      { path: '$', message: 'expected an object' },
    ];
    expect(errorWords(recipeError(faults)).words).toBe(
      'matrix, entry 2, entry 3: a recipe cannot have this value here; levels, H a, black: “a b”: a sign is missing; expected an object',
    );
  });
});
