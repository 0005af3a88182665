/** One state that can be returned to. */
export interface Step<T> {
  readonly value: T;
  /** What the change was, for the names of the undo and redo buttons. */
  readonly label: string;
  /** Changes with the same key in quick succession, such as a drag, are one step. */
  readonly key?: string | undefined;
  readonly time: number;
}

/** A value with its past and what was undone. */
export interface History<T> {
  readonly past: readonly Step<T>[];
  readonly present: Step<T>;
  readonly future: readonly Step<T>[];
}

const LONGEST = 200;
const TOGETHER_MS = 1500;

export const startHistory = <T>(value: T): History<T> => ({
  past: [],
  present: { value, label: '', time: 0 },
  future: [],
});

export const change = <T>({ past, present }: History<T>, step: Step<T>): History<T> => {
  const together = step.key !== undefined && step.key === present.key && step.time - present.time < TOGETHER_MS;
  return { past: together ? past : [...past, present].slice(-LONGEST), present: step, future: [] };
};

export const undo = <T>(history: History<T>): History<T> => {
  const before = history.past.at(-1);
  if (before === undefined) return history;
  return { past: history.past.slice(0, -1), present: before, future: [history.present, ...history.future] };
};

export const redo = <T>(history: History<T>): History<T> => {
  const [after, ...future] = history.future;
  if (after === undefined) return history;
  return { past: [...history.past, history.present], present: after, future };
};
