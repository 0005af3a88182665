import { createCrew } from './crew.ts';
import { hireHelper } from './hire.ts';

/** A crew of up to `size` workers of this very script. */
export const hiredCrew = (size: number) => createCrew(hireHelper, size);
