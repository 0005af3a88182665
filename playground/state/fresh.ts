import type { OpenedMaster } from '../../lib/web/open-master.ts';
import type { PageMaster } from './masters.ts';

/** A master that has been opened and has no line yet, with the line that it was given for where that is known. */
export type Fresh = OpenedMaster & Pick<PageMaster, 'from'> & { readonly said?: string | undefined };
