/** A small matrix: rows of equal length, as recipes write it. */
export type Matrix = readonly (readonly number[])[];

/** Three numbers that belong together: a colour. */
export type Triple = readonly [number, number, number];

export const identity = (size: number): number[][] =>
  Array.from({ length: size }, (_, i) => Array.from({ length: size }, (_, j) => (i === j ? 1 : 0)));

export const transpose = (a: Matrix): number[][] => (a[0] ?? []).map((_, j) => a.map((row) => row[j]!));

export const column = (a: Matrix, j: number): number[] => a.map((row) => row[j]!);

export const dot = (a: readonly number[], b: readonly number[]): number => {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
};

export const multiply = (a: Matrix, b: Matrix): number[][] => {
  const columns = transpose(b);
  return a.map((row) => columns.map((other) => dot(row, other)));
};

export const multiplyVector = (a: Matrix, v: readonly number[]): number[] => a.map((row) => dot(row, v));

/** The rows one after the other, for loops that must not chase arrays. */
export const packRows = (a: Matrix): Float64Array => Float64Array.from(a.flat());
