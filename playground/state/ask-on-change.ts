import { onMount, type WritableAtom } from 'nanostores';
import { oneAtATime } from '../model/one-at-a-time.ts';
import { report, unsay } from './messages.ts';

/** A store that a question depends on. */
interface Changing {
  listen(listener: (value: unknown, before: unknown) => void): () => void;
}

/** A question whose answer follows the stores that it depends on. */
export interface Question<Answer> {
  /** What messages about it belong to. */
  readonly topic: string;
  /** Stores whose change asks again after the question under way: its answer is shown first. */
  readonly on?: readonly Changing[];
  /** Stores whose change stops the question under way and asks again. */
  readonly restartOn?: readonly Changing[];
  /** Stores, such as the masters, whose new content makes the answer wrong: it is dropped, too. */
  readonly dropOn?: readonly Changing[];
  /** Whether the answer is dropped when nobody looks at it any more, or when the question fails. */
  readonly forgets?: boolean;
  /** The answer; undefined where there is nothing to ask. What it throws is reported. */
  ask(signal: AbortSignal): Promise<Answer | undefined>;
}

/**
 * Asks again when stores change, for as long as somebody listens to the answer: one question at a time, the latest
 * afterwards. The answer to a question that was stopped is ignored.
 */
export const askOnChange = <Answer>(
  $answer: WritableAtom<Answer | undefined>,
  { topic, on = [], restartOn = [], dropOn = [], forgets = false, ask }: Question<Answer>,
): { ask(): void } => {
  const asking = oneAtATime(async (signal) => {
    try {
      const answer = await ask(signal);
      if (signal.aborted) return;
      if (answer !== undefined) unsay(topic);
      $answer.set(answer);
    } catch (error) {
      if (signal.aborted) return;
      if (forgets) $answer.set(undefined);
      report(topic, error);
    }
  });
  const drop = (value: unknown, before: unknown): void => {
    if (JSON.stringify(value) === JSON.stringify(before)) return;
    $answer.set(undefined);
    asking.restart();
  };
  onMount($answer, () => {
    const stops = [
      ...on.map((store) => store.listen(() => asking.ask())),
      ...restartOn.map((store) => store.listen(() => asking.restart())),
      ...dropOn.map((store) => store.listen(drop)),
    ];
    asking.ask();
    return () => {
      for (const stop of stops) stop();
      asking.stop();
      if (forgets) $answer.set(undefined);
    };
  });
  return { ask: () => asking.ask() };
};
