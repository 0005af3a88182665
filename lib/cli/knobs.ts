import { InvalidArgumentError, Option } from 'commander';
import { plainNumber } from '../mix/expression-tokens.ts';
import type { KnobValues } from '../recipe/written/knobs.ts';

const collect = (word: string, before: KnobValues = {}): KnobValues => {
  const at = word.indexOf('=');
  const name = word.slice(0, at).trim();
  const value = plainNumber(word.slice(at + 1));
  if (at < 1 || value === undefined) throw new InvalidArgumentError('Give NAME=NUMBER, for example share=0.4.');
  return { ...before, [name]: value };
};

/** `--knob share=0.4`, as often as there are knobs. */
export const knobOption = (): Option =>
  new Option('--knob <name=number>', 'set a knob of the recipe; can be repeated').argParser(collect);
