import { type ErrorFields, LinewashError } from '../../plane/errors.ts';

/** What a served function gets besides its argument. */
export interface CallContext {
  /** Raised when the caller cancels. Only seen where the function lets messages in: see `breathe`. */
  readonly signal: AbortSignal;
  /** Tells the caller the share done, 0…1. */
  readonly progress: (done: number) => void;
}

/** Functions of one plain argument, by name, that one side serves and the other calls. */
// biome-ignore lint/suspicious/noExplicitAny: each function has an argument type of its own
export type Service = Readonly<Record<string, (argument: any, context: CallContext) => Promise<unknown>>>;

export interface CallOptions {
  readonly signal?: AbortSignal | undefined;
  readonly progress?: ((done: number) => void) | undefined;
}

/** The calling side of a service. */
export interface Connection<S> {
  call<K extends keyof S & string>(
    name: K,
    argument: S[K] extends (argument: infer A, context: CallContext) => unknown ? A : never,
    options?: CallOptions,
  ): Promise<S[K] extends (...all: never[]) => infer R ? Awaited<R> : never>;
  /** Fails every open call with this reason; later calls fail at once. */
  fail(reason: Error): void;
}

/** The end of a channel: a Worker, the global scope of one, or a MessagePort. */
export interface Port {
  postMessage(message: unknown, transfer: Transferable[]): void;
  addEventListener(type: 'message', listener: (event: MessageEvent) => void): void;
}

type Request = { id: number; name: string; argument: unknown } | { cancel: number };
type Reply =
  | { id: number; value: unknown }
  | { id: number; error: ErrorFields }
  | { id: number; defect: string }
  | { id: number; progress: number };

const HANDED_OVER = new WeakMap<object, Transferable[]>();

/** Marks a result whose buffers go to the caller without being copied. */
export const handOver = <T extends object>(value: T, buffers: Transferable[]): T => {
  HANDED_OVER.set(value, buffers);
  return value;
};

/** Lets waiting messages in, such as a cancellation; a resolved promise alone does not. */
export const breathe = (): Promise<void> =>
  new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
      port1.close();
      resolve();
    };
    port2.postMessage(undefined);
  });

const PROGRESS_MS = 60;

/** Passes on what is done, but for news that come sooner after others than an eye can follow. */
const atTimes = (tell: (done: number) => void): ((done: number) => void) => {
  let last = Number.NEGATIVE_INFINITY;
  return (done) => {
    const now = performance.now();
    if (now - last < PROGRESS_MS && done < 1) return;
    last = now;
    tell(done);
  };
};

/** Answers calls that arrive at the port. Linewash's own errors keep their fields; anything else is a defect. */
export const serve = (port: Port, service: Service): void => {
  const running = new Map<number, AbortController>();
  const reply = (message: Reply, transfer: Transferable[] = []) => port.postMessage(message, transfer);
  port.addEventListener('message', async ({ data }: MessageEvent<Request>) => {
    if ('cancel' in data) return running.get(data.cancel)?.abort();
    const { id, name, argument } = data;
    const control = new AbortController();
    running.set(id, control);
    try {
      const progress = atTimes((done) => reply({ id, progress: done }));
      const value = await service[name]!(argument, { signal: control.signal, progress });
      reply({ id, value }, HANDED_OVER.get(value as object) ?? []);
    } catch (error) {
      if (error instanceof LinewashError) reply({ id, error: error.toFields() });
      else reply({ id, defect: error instanceof Error ? `${error.message}\n${error.stack ?? ''}` : String(error) });
    } finally {
      running.delete(id);
    }
  });
};

/** Calls what the other end of the port serves. Errors arrive as the LinewashError they were thrown as. */
export const connect = <S>(port: Port): Connection<S> => {
  interface Waiting {
    resolve(value: never): void;
    reject(error: Error): void;
    progress: ((done: number) => void) | undefined;
  }
  const waiting = new Map<number, Waiting>();
  let next = 0;
  let broken: Error | undefined;
  port.addEventListener('message', ({ data }: MessageEvent<Reply>) => {
    const call = waiting.get(data.id);
    if (call === undefined) return;
    if ('progress' in data) return call.progress?.(data.progress);
    waiting.delete(data.id);
    if ('error' in data) call.reject(new LinewashError(data.error));
    else if ('defect' in data) call.reject(new Error(data.defect));
    else call.resolve(data.value as never);
  });
  return {
    call(name, argument, { signal, progress } = {}) {
      if (broken !== undefined) return Promise.reject(broken);
      const id = next++;
      const cancel = () => port.postMessage({ cancel: id } satisfies Request, []);
      const answer = new Promise<never>((resolve, reject) => {
        waiting.set(id, { resolve, reject, progress });
        port.postMessage({ id, name, argument } satisfies Request, []);
        if (signal?.aborted) cancel();
        else signal?.addEventListener('abort', cancel, { once: true });
      });
      return answer.finally(() => signal?.removeEventListener('abort', cancel));
    },
    fail(reason) {
      broken = reason;
      for (const { reject } of waiting.values()) reject(reason);
      waiting.clear();
    },
  };
};
