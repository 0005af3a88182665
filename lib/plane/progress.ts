/** Is told what share of some work is done, 0…1. */
export type Progress = (done: number) => void;

/** One progress of two stages of about the same length, one after the other. */
export const inHalves = (tell: Progress | undefined): [first: Progress, second: Progress] => [
  (done) => tell?.(done / 2),
  (done) => tell?.((1 + done) / 2),
];

/** One progress of several pieces of equal work that are done at the same time; it never goes back. */
export const ofPieces = (pieces: number, tell: Progress | undefined): ((piece: number) => Progress) => {
  const shares = new Array<number>(pieces).fill(0);
  return (piece) => (done) => {
    shares[piece] = Math.max(shares[piece]!, done);
    tell?.(shares.reduce((a, b) => a + b, 0) / pieces);
  };
};
