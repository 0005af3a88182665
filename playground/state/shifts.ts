import { atom, computed } from 'nanostores';
import { shiftedLines } from '../model/shifts.ts';
import { $together } from './fit.ts';

/** Lines whose arrows are not shown. */
export const $hiddenShifts = atom<readonly string[]>([]);

/** How lines lie on the reference, where that is known; undefined while it is looked for. */
export const $shifts = computed($together, (together) => together && shiftedLines(together.registration));

/** Lines of which it cannot be said, with the reason. */
export const $unknownShifts = computed($together, (together) =>
  (together?.registration ?? []).flatMap((found) =>
    found.status === 'unknown' ? [{ line: found.channel, reason: found.reason }] : [],
  ),
);
