import { afterAll } from 'vitest';
import { type Crew, withCrew } from '../../lib/node/crew.ts';

/** A crew of this thread alone, which lives as long as the tests of a file. */
export const loneCrew = (): Promise<Crew> =>
  new Promise((resolve) => {
    const lasting = new Promise<void>((end) => afterAll(end));
    void withCrew(1, (crew) => {
      resolve(crew);
      return lasting;
    });
  });
