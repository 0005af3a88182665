import { describe, expect, it } from 'vitest';
import { table } from '../../lib/cli/table.ts';

const lines = (text: string) => text.split('\n');

describe('a table', () => {
  it('puts words to the left and numbers to the right, without blanks at the ends of lines', () =>
    expect(
      lines(
        table(
          ['line', 'noise', 'why'],
          [
            ['S', '5.5', 'weak'],
            ['O III', '–', ''],
            ['H', '10', 'bright'],
          ],
        ),
      ),
    ).toEqual(['line   noise  why', 'S        5.5  weak', 'O III      –', 'H         10  bright', '']));

  it.each([
    ['numbers', ['7', '1234', '0.5 %']],
    ['negative numbers', ['-7', '-1234', '3']],
    ['numbers with a true minus sign', ['−7 %', '−12.5 %', '3 %']],
    ['a dash for none among numbers', ['7', '–', '1234']],
  ])('takes %s for numbers', (_, column) => {
    const [, ...rows] = lines(
      table(
        ['x', 'n'],
        column.map((cell) => ['a', cell]),
      ),
    );
    const widest = Math.max(...column.map((cell) => cell.length));
    expect(rows.slice(0, -1)).toEqual(column.map((cell) => `a  ${cell.padStart(widest)}`));
  });

  it('takes one word in a column for words', () => {
    const [, first, second] = lines(
      table(
        ['n', 'x'],
        [
          ['7', 'a'],
          ['none', 'b'],
        ],
      ),
    );
    expect([first, second]).toEqual(['7     a', 'none  b']);
  });

  it('is its titles where there are no rows, and empty cells are no numbers', () => {
    expect(table(['line', 'noise'], [])).toBe('line  noise\n');
    expect(lines(table(['line', 'x'], [['', 'a']]))[1]).toBe('      a');
  });

  it('lets no control character through to the terminal', () =>
    expect(table(['line'], [['a\x1b[31m\nb\u202e']])).toBe('line\na [31m b\n'));
});
