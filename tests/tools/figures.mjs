// npm run figures [-- stars | FOLDER]: what a method reaches on drawn scenes whose truth is known. Smoothing, unless stars are asked for.
await import(process.argv[2] === 'stars' ? '../stars/figures/run.mjs' : '../smooth/figures/run.mjs');
