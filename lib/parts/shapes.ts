/** What arguments of the public API must look like, beyond what `plane/arguments.ts` knows of samples and bytes. */
import { channel, finite, flag, list, method, object, optional, type Shape, table, text } from '../plane/arguments.ts';
import { LinewashError } from '../plane/errors.ts';
import { checkedRecipe } from '../recipe/written/parse.ts';

export const sizeOf = ({ width, height }: { readonly width: number; readonly height: number }): string =>
  `${width} × ${height}`;

export const named: Shape = object({ name: text });
export const channels: Shape = list(channel);

/** A recipe as it is written, or with numbers only. */
export const recipe: Shape = (value) => object()(value) ?? recipeFault(value);

const recipeFault = (value: unknown): string | undefined => {
  try {
    checkedRecipe(value);
    return undefined;
  } catch (cause) {
    if (!(cause instanceof LinewashError)) throw cause;
    const [fault] = cause.faults;
    return `is no recipe: ${fault ? `${fault.path}: ${fault.message}` : cause.message}`;
  }
};

const weights = object({ matrix: list(list(finite), 3) });

/** A recipe whose weights are numbers: `plainRecipe` makes it of any other. */
export const plain: Shape = (value) => recipe(value) ?? weights(value);

/** A recipe, or weights alone. */
export const matrixOrRecipe: Shape = (value) => (Array.isArray(value) ? list(list(finite), 3)(value) : recipe(value));

export const knobValues: Shape = optional(table(finite));
export const signal: Shape = optional(object({ aborted: flag }));
export const progress: Shape = optional(method);
