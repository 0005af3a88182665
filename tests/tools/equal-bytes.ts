// Arrays of numbers are the same where their bytes are: pictures are compared at once instead of number by number. Where
// bytes differ, the usual comparison says whether and where numbers do.
import { expect } from 'vitest';

const bytesOf = (value: unknown): Buffer | undefined =>
  ArrayBuffer.isView(value) ? Buffer.from(value.buffer, value.byteOffset, value.byteLength) : undefined;

const sameBytes = (a: unknown, b: unknown): true | undefined => {
  const [one, other] = [bytesOf(a), bytesOf(b)];
  if (one === undefined || other === undefined) return undefined;
  const alike = Object.getPrototypeOf(a) === Object.getPrototypeOf(b);
  return alike && one.equals(other) ? true : undefined;
};

// Files that share a process share what is added.
const added = Symbol.for('linewash: equal bytes');
const shared = globalThis as { [added]?: true };
if (!shared[added]) {
  expect.addEqualityTesters([sameBytes]);
  shared[added] = true;
}
