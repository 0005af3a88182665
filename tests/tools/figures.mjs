// npm run figures [-- stars | check | FOLDER]: what a method reaches on drawn scenes whose truth is known. Smoothing, unless another is asked for.
const OTHERS = { stars: '../stars/figures/run.mjs', check: '../check/figures/run.mjs' };
await import(OTHERS[process.argv[2]] ?? '../smooth/figures/run.mjs');
