import { atom } from 'nanostores';
import { LinewashError } from '../../lib/plane/errors.ts';
import { askOnChange, type Question } from '../../playground/state/ask-on-change.ts';
import { $messages } from '../../playground/state/messages.ts';
import { equal, ok } from './assert.ts';
import { until } from './support.ts';

/** A question that is answered when the test says so. */
const asked = (parts: Partial<Question<string>> = {}) => {
  const $soft = atom(0);
  const $hard = atom(0);
  const $masters = atom<readonly string[]>(['a']);
  const $answer = atom<string | undefined>(undefined);
  const open: { signal: AbortSignal; resolve(answer?: string): void; reject(cause: unknown): void }[] = [];
  const stores = { on: [$soft], restartOn: [$hard], dropOn: [$masters] };
  const ask = (signal: AbortSignal) =>
    new Promise<string | undefined>((resolve, reject) => open.push({ signal, resolve, reject }));
  askOnChange($answer, { topic: 'test', ...stores, ask, ...parts });
  const leave = $answer.listen(() => {});
  return { $soft, $hard, $masters, $answer, open, leave };
};

describe('what is asked on change', () => {
  it('is asked once somebody listens, and again after the answer when something changed meanwhile', async () => {
    const { $soft, $answer, open } = asked();
    equal(open.length, 1);
    for (const n of [1, 2, 3]) $soft.set(n);
    equal([open.length, open[0]!.signal.aborted], [1, false]);
    open[0]!.resolve('first');
    await until(() => open.length === 2);
    equal($answer.get(), 'first');
    open[1]!.resolve('second');
    await until(() => $answer.get() === 'second');
    equal(open.length, 2);
  });

  it('shows no stale answer: the question is stopped, and what it still says is ignored', async () => {
    const { $hard, $masters, $answer, open } = asked();
    open[0]!.resolve('old');
    await until(() => $answer.get() === 'old');
    $hard.set(1);
    $hard.set(2);
    equal([open.length, open[1]!.signal.aborted, $answer.get()], [2, true, 'old']);
    open[1]!.resolve('stale');
    await until(() => open.length === 3);
    equal($answer.get(), 'old');
    $masters.set(['a']);
    equal([open[2]!.signal.aborted, $answer.get()], [false, 'old'], 'the same masters');
    $masters.set(['b']);
    equal([open[2]!.signal.aborted, $answer.get()], [true, undefined], 'other masters');
    open[2]!.reject(new LinewashError({ tag: 'input', message: 'a stale fault' }));
    await until(() => open.length === 4);
    ok(!$messages.get().some(({ topic }) => topic === 'test'), 'no message about a stale question');
  });

  it('reports a fault until there is an answer, and stops when nobody listens any more', async () => {
    const { $soft, $answer, open, leave } = asked({ forgets: true });
    const faults = () => $messages.get().filter(({ topic }) => topic === 'test').length;
    open[0]!.reject(new LinewashError({ tag: 'input', message: 'no' }));
    await until(() => faults() === 1);
    $soft.set(1);
    await until(() => open.length === 2);
    open[1]!.resolve('yes');
    await until(() => $answer.get() === 'yes');
    equal(faults(), 0);
    $soft.set(2);
    await until(() => open.length === 3);
    leave();
    // A store notices a moment later that nobody listens.
    await until(() => open[2]!.signal.aborted);
    equal($answer.get(), undefined);
  });
});
