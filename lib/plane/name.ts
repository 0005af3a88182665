/** What a channel may be called: short, safe in a file name and on a command line. */
export const CHANNEL_NAME = /^[A-Za-z][A-Za-z0-9_+-]{0,23}$/;
export const MAX_CHANNELS = 8;
/** Channels a recipe has when it names none and its rows hold three weights. */
export const DEFAULT_CHANNELS: readonly string[] = ['S', 'H', 'O'];

/** The candidate nearest to what was typed (Damerau–Levenshtein, optimal string alignment), if any is near. */
export const nearest = (typed: string, candidates: readonly string[]): string | undefined => {
  const word = typed.toLowerCase();
  let best: string | undefined;
  let least = Math.max(2, Math.floor(word.length / 2)) + 1;
  for (const candidate of candidates) {
    const distance = editDistance(word, candidate.toLowerCase());
    if (distance < least) {
      least = distance;
      best = candidate;
    }
  }
  return best;
};

const editDistance = (a: string, b: string): number => {
  let before: number[] = [];
  let above = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const cost = a[i - 1] === b[j - 1] ? 0 : 1;
      let d = Math.min(above[j]! + 1, row[j - 1]! + 1, above[j - 1]! + cost);
      // Before the first letter there is none, which equals no letter.
      if (a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) d = Math.min(d, before[j - 2]! + 1);
      row.push(d);
    }
    before = above;
    above = row;
  }
  return above[b.length]!;
};
