// Cuts a file short, or removes it, just before its n-th read by any thread; loaded before linewash by `node --import`,
// which reaches threads as well. LINEWASH_SHRINK is PATH@N@BYTES: what is left then, or `gone`.
import fs from 'node:fs';
import { syncBuiltinESMExports } from 'node:module';

const [path = '', nth = '0', left = '0'] = (process.env.LINEWASH_SHRINK ?? '').split('@');
const real = { openSync: fs.openSync, closeSync: fs.closeSync, readSync: fs.readSync, open: fs.promises.open };
const files = new Set();

/** The reads of all threads are counted in one place: the length of a file beside the master. */
const pass = () => {
  const counter = `${path}.reads`;
  fs.appendFileSync(counter, '.');
  // Threads may count two reads at once, and cutting twice does no harm.
  if (fs.statSync(counter).size < Number(nth)) return;
  if (left === 'gone') fs.rmSync(path, { force: true });
  else fs.truncateSync(path, Number(left));
};

fs.openSync = (name, ...words) => {
  const file = real.openSync(name, ...words);
  if (name === path && (words[0] ?? 'r') === 'r') files.add(file);
  return file;
};
fs.closeSync = (file) => {
  files.delete(file);
  return real.closeSync(file);
};
fs.readSync = (file, ...words) => {
  if (files.has(file)) pass();
  return real.readSync(file, ...words);
};
fs.promises.open = async (name, ...words) => {
  const handle = await real.open(name, ...words);
  if (name !== path) return handle;
  const read = handle.read.bind(handle);
  handle.read = (...args) => {
    pass();
    return read(...args);
  };
  return handle;
};
syncBuiltinESMExports();
