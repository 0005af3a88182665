// npm run figures [-- stars | faint | FOLDER]: what a method reaches on drawn scenes whose truth is known. Smoothing, unless another is asked for.
const METHODS = { stars: '../stars/figures/run.mjs', faint: '../faint/figures/run.mjs' };
await import(METHODS[process.argv[2]] ?? '../smooth/figures/run.mjs');
