// npm run figures [-- stars | tally | check | faint | FOLDER]: what a method reaches on drawn scenes whose truth is known. Smoothing, unless another is asked for.
const PARTS = {
  stars: '../stars/figures/run.mjs',
  tally: '../tally/figures/run.mjs',
  check: '../check/figures/run.mjs',
  faint: '../faint/figures/run.mjs',
};
await import(PARTS[process.argv[2]] ?? '../smooth/figures/run.mjs');
