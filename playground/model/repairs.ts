import { lineIn } from '../../lib/measure/filters.ts';
import type { Misfit } from '../../lib/measure/together.ts';
import { text } from '../text-fit.ts';

/** What can be done at once about something that does not fit. */
export type Repair =
  | { readonly kind: 'exchange'; readonly lines: readonly [string, string]; readonly words: string }
  | { readonly kind: 'give'; readonly from: string; readonly line: string; readonly words: string }
  | { readonly kind: 'leave'; readonly line: string; readonly words: string }
  | { readonly kind: 'shifts'; readonly words: string };

/** @param lines lines that masters stand for */
export const repairFor = (misfit: Misfit, lines: readonly string[]): Repair => {
  const { kind, name } = misfit;
  if (kind === 'registration') return { kind: 'shifts', words: text.showShifts };
  if (kind === 'copy') return { kind: 'leave', line: name, words: text.leaveOut(name) };
  const { swappedWith, found } = misfit;
  if (swappedWith !== undefined)
    return { kind: 'exchange', lines: [name, swappedWith], words: text.exchange(name, swappedWith) };
  const other = lines.find((line) => line === found || lineIn(line) === found);
  if (other !== undefined) return { kind: 'exchange', lines: [name, other], words: text.exchange(name, other) };
  return { kind: 'give', from: name, line: found, words: text.give(found) };
};

/** Misfits with their repairs: two masters that are swapped are one fault, said of the first. */
export const repairs = (misfits: readonly Misfit[], lines: readonly string[]) => {
  const said = new Set<string>();
  return misfits.flatMap((misfit) => {
    const repair = repairFor(misfit, lines);
    if (repair.kind === 'exchange') {
      const key = [...repair.lines].sort().join(' ');
      if (said.has(key)) return [];
      said.add(key);
    }
    return [{ words: misfit.words, repair }];
  });
};
