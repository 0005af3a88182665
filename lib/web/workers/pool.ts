import { LinewashError, throwIfCancelled } from '../../plane/errors.ts';
import type { StripOptions } from '../../plane/strips.ts';
import type { Connection } from '../wire/rpc.ts';
import type { BandFindings, BandWork } from './band-work.ts';
import type { Band, MadeBand, SharedPlan } from './plan-bands.ts';
import type { SharedPieces } from './shared-pieces.ts';
import { createHelper, type Helper, type MasterBytes } from './worker-service.ts';

/** Workers that take part of the work on masters. */
export interface Pool {
  /** How many pieces are worked on at the same time. */
  readonly size: number;
  /** Does the work in the next free worker, or here where no worker can. */
  look(master: MasterBytes, work: BandWork, options: StripOptions): Promise<BandFindings>;
  /** Has the bands of a picture made. */
  paint(shared: SharedPlan): Shared<Band, MadeBand>;
  /** Has other work done in pieces. */
  pieces(shared: SharedPieces): Shared<number, Float32Array<ArrayBuffer>>;
  /** Lets go of a master. */
  forget(id: string): void;
}

/** Work that the workers share part by part. */
export interface Shared<Part, Made> {
  /** A part, by the next free worker, or here where no worker can. */
  make(part: Part, options: Pick<StripOptions, 'signal'>): Promise<Made>;
  /** Lets go of the work. */
  close(): void;
}

/** How work is opened, done and closed: by a helper, and here. */
interface Together<Part, Made> {
  open(helper: Connection<Helper>): Promise<void>;
  make(helper: Connection<Helper>, part: Part, signal: AbortSignal | undefined): Promise<Made>;
  close(helper: Connection<Helper>): Promise<void>;
  readonly here: { open(): Promise<void>; make(part: Part): Promise<Made>; close(): Promise<void> };
}

/** A helping worker. */
export interface Member {
  readonly connection: Connection<Helper>;
  dismiss(): void;
}

/** Starts a worker; `ended` is called should it break down. Throws where none can be started. */
export type StartMember = (ended: (reason: Error) => void) => Member;

/** Helpers are dismissed after so long without work: their memory is worth more than the moment they take to start. */
const IDLE_MS = 5000;

/** A pool of up to `size` helpers, started when there is work. */
export const createPool = (start: StartMember, size: number): Pool => {
  const here = createHelper();
  const members = new Set<Member>();
  const free: Member[] = [];
  const waiting: ((member: Member | undefined) => void)[] = [];
  let idle: ReturnType<typeof setTimeout> | undefined;

  const leave = (member: Member): void => {
    members.delete(member);
    if (free.includes(member)) free.splice(free.indexOf(member), 1);
    member.dismiss();
  };
  const startOne = (): Member | undefined => {
    try {
      const member = start((reason) => {
        leave(member);
        member.connection.fail(reason);
      });
      members.add(member);
      return member;
    } catch {
      return undefined;
    }
  };
  const take = (): Promise<Member | undefined> => {
    clearTimeout(idle);
    const ready = free.pop() ?? (members.size < size ? startOne() : undefined);
    if (ready !== undefined || members.size === 0) return Promise.resolve(ready);
    return new Promise((resolve) => waiting.push(resolve));
  };
  const giveBack = (member: Member | undefined): void => {
    const next = waiting.shift();
    const healthy = member !== undefined && members.has(member) ? member : undefined;
    if (next !== undefined) next(healthy ?? startOne());
    else if (healthy !== undefined) free.push(healthy);
    clearTimeout(idle);
    if (free.length === members.size) idle = setTimeout(() => free.slice().forEach(leave), IDLE_MS);
  };
  /** Has a free worker do something, or does it here where no worker can. */
  const inFreeWorker = async <T>(
    ask: (helper: Connection<Helper>, member: Member) => Promise<T>,
    alone: () => Promise<T>,
    signal: AbortSignal | undefined,
  ): Promise<T> => {
    const member = await take();
    try {
      throwIfCancelled(signal);
      if (member === undefined) return await alone();
      // A helper that broke down takes nothing with it but time.
      return await ask(member.connection, member).catch((error) => {
        if (error instanceof LinewashError) throw error;
        leave(member);
        return alone();
      });
    } finally {
      giveBack(member);
    }
  };
  /** Work that every helper opens once before it does a part of it. */
  const together = <Part, Made>({ open, make, close, here: alone }: Together<Part, Made>): Shared<Part, Made> => {
    const ready = new Set<Member>();
    let own: Promise<void> | undefined;
    return {
      make: (part, { signal }) =>
        inFreeWorker(
          async (helper, member) => {
            if (!ready.has(member)) await open(helper);
            ready.add(member);
            return make(helper, part, signal);
          },
          async () => {
            own ??= alone.open();
            await own;
            return alone.make(part);
          },
          signal,
        ),
      close() {
        if (own) void alone.close();
        for (const member of ready) if (members.has(member)) close(member.connection).catch(() => {});
      },
    };
  };
  return {
    size,
    look(master, work, { signal, progress }) {
      const context = { signal: signal ?? NEVER, progress: progress ?? (() => {}) };
      return inFreeWorker(
        (helper) => helper.call('look', { master, work }, { signal, progress }),
        () => here.look({ master, work }, context),
        signal,
      );
    },
    paint(shared) {
      const { id } = shared;
      return together<Band, MadeBand>({
        open: (helper) => helper.call('openPlan', shared),
        make: (helper, band, signal) => helper.call('makeBand', { id, band }, { signal }),
        close: (helper) => helper.call('closePlan', { id }),
        here: {
          open: () => here.openPlan(shared),
          make: (band) => here.makeBand({ id, band }),
          close: () => here.closePlan({ id }),
        },
      });
    },
    pieces(shared) {
      const { id } = shared;
      return together<number, Float32Array<ArrayBuffer>>({
        open: (helper) => helper.call('openPieces', shared),
        make: (helper, piece, signal) => helper.call('doPiece', { id, piece }, { signal }),
        close: (helper) => helper.call('closePieces', { id }),
        here: {
          open: () => here.openPieces(shared),
          make: (piece) => here.doPiece({ id, piece }),
          close: () => here.closePieces({ id }),
        },
      });
    },
    forget(id) {
      void here.forget({ id });
      for (const { connection } of members) connection.call('forget', { id }).catch(() => {});
    },
  };
};

const NEVER = new AbortController().signal;
