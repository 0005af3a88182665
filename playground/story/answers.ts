import { LinewashError } from '../../lib/plane/errors.ts';
import type { RenderService } from '../../lib/web/service.ts';
import type { Connection } from '../../lib/web/wire/rpc.ts';
import { answerWithBox, pictures } from './example-hours.ts';
import { heldLines, lineReport, listedStars, marked, preview, probed, registration, surfaceView } from './examples.ts';

/** What each question is answered with. */
const ANSWERS: {
  readonly [K in keyof RenderService]?: (
    argument: Parameters<RenderService[K]>[0],
  ) => Awaited<ReturnType<RenderService[K]>>;
} = {
  preview: () => ({ ...preview(), warnings: ['The white point is the brightest pixel.'] }),
  measure: ({ lines }) => Object.keys(lines).map(lineReport),
  fit: () => {
    const words = 'field-S.fits: S and O look swapped';
    return {
      registration: [registration],
      misfits: [{ kind: 'filter', name: 'S', found: 'O', swappedWith: 'O', words }],
      warnings: [words],
    };
  },
  weak: () => ['S'],
  probe: () => probed(),
  marks: () => marked(),
  surface: ({ line }) => surfaceView(line),
  stars: () => listedStars(),
  cover: () => ({ box: { x: 6, y: 4, width: 48, height: 32 }, warnings: ['6 columns are cut on the left.'] }),
  hours: () => answerWithBox(),
  outlook: () => pictures(),
  hold: ({ recipe, places }) => heldLines(recipe, places.length),
};

/** A worker that answers at once, from the examples; whatever has none is cancelled, which no one reports. */
export const exampleEngine = {
  async call(name: keyof RenderService, argument: never) {
    const answer = ANSWERS[name];
    if (answer === undefined) throw new LinewashError({ tag: 'cancelled', message: `no example of ${name}` });
    return answer(argument);
  },
  fail() {},
} as Connection<RenderService>;
