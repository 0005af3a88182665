import { parse } from 'mathjs/number';
import { describe, expect, it } from 'vitest';
import { evaluateExpression } from '../../lib/mix/expression.ts';
import { KNOWN_EXPRESSIONS, knownValue } from '../../lib/mix/known-expressions.ts';
import { CATALOGUE } from '../../lib/palettes/catalogue.ts';
import { knobValues } from '../../lib/recipe/written/knobs.ts';
import { weightTexts } from '../../lib/recipe/written/weights.ts';

describe('expressions whose values are known', () => {
  it.each(KNOWN_EXPRESSIONS)('%s where %s is %d', async (text, knob, at, value) => {
    const knobs = new Map([[knob, at]]);
    // The whole language of mathjs agrees; and blanks around a text make it unknown here, so that it is parsed.
    expect(value).toBe(
      parse(text)
        .compile()
        .evaluate({ [knob]: at }),
    );
    expect(await evaluateExpression(` ${text}`, knobs)).toEqual({ value });
    expect(await evaluateExpression(text, knobs)).toEqual({ value });
    expect(knownValue(text, new Map([[knob, at + 0.01]]))).toBeUndefined();
  });

  it('are all that the catalogue holds', () => {
    for (const { id, recipe } of CATALOGUE) {
      const knobs = new Map(Object.entries(knobValues(recipe)));
      for (const { text } of weightTexts(recipe))
        if (Number.isNaN(Number(text))) expect(knownValue(text, knobs), `${id}: ${text}`).toBeDefined();
    }
  });
});
