import { Option } from 'commander';

/** What verbs that combine masters know of it. */
export interface ApartFlag {
  readonly combineApart?: boolean;
}

/** For masters of one line that are not registered to each other. */
export const apartOption = (): Option =>
  new Option('--combine-apart', 'combine masters of a line even if they lie more than a pixel apart');
