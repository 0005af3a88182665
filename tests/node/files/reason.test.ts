import { describe, expect, it } from 'vitest';
import { reasonOf } from '../../../lib/node/files/reason.ts';

describe('the reason of a failure', () => {
  it.each<[unknown, string]>([
    [Object.assign(new Error('ENOSPC: no space left'), { code: 'ENOSPC' }), 'the disk is full'],
    [{ code: 'EIO' }, 'the disk reported an error'],
    [Object.assign(new Error('in words'), { code: 'ENEW' }), 'in words'],
    [new Error('in words'), 'in words'],
    ['a text', 'a text'],
    [undefined, 'undefined'],
    [null, 'null'],
  ])('%o is said as %j', (cause, words) => {
    expect(reasonOf(cause)).toBe(words);
  });
});
