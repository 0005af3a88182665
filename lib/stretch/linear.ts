import type { CurveKind } from './curve.ts';

export const linear: CurveKind = {
  name: 'linear',
  about: 'Leaves values as they are: for masters that are stretched already.',
  range: undefined,
  curve: () => (t) => t,
  slope: () => () => 1,
  place: undefined,
};
