import { LinewashError } from '../../lib/plane/errors.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import type { RenderService } from '../../lib/web/service.ts';
import type { Connection } from '../../lib/web/wire/rpc.ts';
import { answerWithBox, pictures } from './example-hours.ts';
import { heldLines, lineReport, marked, preview, probed, registration, suggestion, surfaceView } from './examples.ts';

/** What each question is answered with. */
const ANSWERS: Readonly<Record<string, (argument: never) => unknown>> = {
  preview: () => ({ ...preview(), warnings: ['The white point is the brightest pixel.'] }),
  measure: ({ lines }: { lines: object }) => Object.keys(lines).map(lineReport),
  fit: () => ({
    registration: [registration],
    misfits: [{ kind: 'filter', words: 'field-S.fits and field-O.fits look swapped', lines: ['S', 'O'] }],
    warnings: [],
  }),
  weak: () => ['S'],
  probe: () => probed(),
  marks: () => marked(),
  surface: ({ line }: { line: string }) => surfaceView(line),
  cover: () => ({ box: { x: 6, y: 4, width: 48, height: 32 }, warnings: ['6 columns are cut on the left.'] }),
  hours: () => answerWithBox(),
  outlook: () => pictures(),
  hold: ({ recipe, places }: { recipe: WrittenRecipe; places: readonly unknown[] }) => heldLines(recipe, places.length),
  suggest: () => ({ suggestions: [suggestion], plain: suggestion, weak: [] }),
};

/** A worker that answers at once, from the examples; whatever has none is cancelled, which no one reports. */
export const exampleEngine = {
  async call(name: string, argument: never) {
    const answer = ANSWERS[name];
    if (answer === undefined) throw new LinewashError({ tag: 'cancelled', message: `no example of ${name}` });
    return answer(argument);
  },
  fail() {},
} as unknown as Connection<RenderService>;
