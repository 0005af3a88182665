import type { Defect } from '../../check/defects.ts';
import { howSure, whatOf, whereOf } from '../../check/words.ts';
import { defectsOf } from '../../work/check.ts';
import { withLines } from '../masters/file-lines.ts';
import { withExecutor } from '../threads/executor.ts';

interface LookOptions {
  readonly apart?: boolean | undefined;
  readonly signal?: AbortSignal | undefined;
}

/** Looks for defects of masters, each set of them once: many pictures of a target are made of the same ones. */
export const defectSearch = () => {
  const known = new Map<string, readonly Defect[]>();
  return async (inputs: Readonly<Record<string, string>>, { apart, signal }: LookOptions) => {
    const key = JSON.stringify(Object.entries(inputs).sort());
    const found =
      known.get(key) ??
      (await withExecutor(signal, (executor) =>
        withLines(inputs, { apart, signal, executor }, async (lines) =>
          defectsOf(await lines.masters('undefined'), { signal, executor }),
        ),
      ));
    known.set(key, found);
    return found;
  };
};

export type DefectSearch = ReturnType<typeof defectSearch>;

/** A defect as a sentence for those who read warnings. */
export const defectWords = (defect: Defect): string =>
  `${defect.channel} has a defect: ${whatOf(defect)}, ${whereOf(defect)}, ${howSure(defect)}`;
