import { atom } from 'nanostores';
import { LinewashError } from '../../lib/plane/errors.ts';
import { errorWords } from '../model/error-words.ts';
import { text } from '../text.ts';

/** Something the user should know. */
export interface Message {
  /** Messages with one topic replace each other. */
  readonly topic: string;
  readonly kind: 'note' | 'fault';
  readonly words: string;
  readonly advice?: string | undefined;
  /** Something that can be done about it at once. */
  readonly action?: { readonly words: string; act(): void } | undefined;
}

/** Said in this order, the newest last. */
export const $messages = atom<readonly Message[]>([]);

/** Notes that ask for nothing go by themselves after so long. */
const NOTE_MS = 12_000;

export const say = (message: Message): void => {
  $messages.set([...$messages.get().filter((other) => !sameMatter(other, message)), message]);
  if (message.kind === 'note' && message.action === undefined)
    setTimeout(() => $messages.set($messages.get().filter((other) => other !== message)), NOTE_MS);
};

/** Two parts of the page may meet the same fault: what is to be done about it is said once. */
const sameMatter = (a: Message, b: Message): boolean =>
  a.topic === b.topic || a.words === b.words || (a.advice !== undefined && a.advice === b.advice);

export const unsay = (topic: string): void => {
  if ($messages.get().some((message) => message.topic === topic))
    $messages.set($messages.get().filter((message) => message.topic !== topic));
};

/** Shows an error in words; a cancellation is what the user wanted and needs none. */
export const report = (topic: string, error: unknown): void => {
  if (!(error instanceof LinewashError)) {
    console.error(error);
    say({
      topic,
      kind: 'fault',
      words: text.messages.defect,
      advice: String((error as Error)?.message ?? error).split('\n')[0],
    });
    return;
  }
  if (error.tag === 'cancelled') return;
  say({ topic, kind: 'fault', ...errorWords(error) });
};

/** Shows what befell several files as one message, each by its name. */
export const reportAll = (topic: string, errors: readonly unknown[]): void => {
  const told = errors.filter((error) => !(error instanceof LinewashError && error.tag === 'cancelled'));
  const known = told.filter((error) => error instanceof LinewashError);
  if (told.length < 2 || known.length < told.length) {
    for (const error of told) report(topic, error);
    return;
  }
  const all = known.map(errorWords);
  // What helps all is said once, what helps one beside its fault.
  const [advice, ...others] = new Set(all.map((one) => one.advice));
  const apart = all.map((one) => (one.advice === undefined ? one.words : `${one.words}; ${one.advice}`));
  const words = others.length > 0 ? apart : all.map((one) => one.words);
  say({ topic, kind: 'fault', words: words.join('\n'), advice: others.length > 0 ? undefined : advice });
};
