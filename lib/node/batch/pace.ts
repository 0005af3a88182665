/** How far a batch has come. */
export interface Pace {
  readonly done: number;
  readonly total: number;
  /** Share of the whole, those in work included, 0…1. */
  readonly share: number;
  /** Seconds still to go at the pace of the last pictures; absent before there is a pace. */
  readonly secondsLeft?: number;
}

/** The pace is that of so many last pictures. */
const LOOK_BACK = 24;
/** Before so many are done, nothing is said. */
const FEWEST = 2;

/** Keeps count of pictures. `lane` tells pictures in work at the same time apart. */
export const createPace = (total: number, now: () => number = () => performance.now()) => {
  const times: number[] = [now()];
  const partial = new Map<number, number>();
  let done = 0;
  const pace = (): Pace => {
    const inWork = [...partial.values()].reduce((sum, part) => sum + part, 0);
    const first = times[0]!;
    const passed = times.length - 1;
    const perPicture = passed > 0 ? (times[passed]! - first) / passed : 0;
    const left = Math.max(0, total - done - inWork);
    return {
      done,
      total,
      share: total === 0 ? 1 : Math.min(1, (done + inWork) / total),
      ...(done >= FEWEST && { secondsLeft: (left * perPicture) / 1000 }),
    };
  };
  return {
    /** A picture of a lane has come so far, 0…1. */
    advance(lane: number, share: number): Pace {
      partial.set(lane, share);
      return pace();
    },
    /** A picture of a lane is done. */
    finish(lane: number): Pace {
      partial.delete(lane);
      done++;
      times.push(now());
      if (times.length > LOOK_BACK + 1) times.shift();
      return pace();
    },
  };
};
