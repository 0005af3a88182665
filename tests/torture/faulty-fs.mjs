// Makes the n-th file-system call below a folder fail, write short, or kill the process; loaded before linewash by
// `node --import`, or armed from a script.
import fs from 'node:fs';
import { syncBuiltinESMExports } from 'node:module';

const fault = { kind: '', nth: 0, under: '', count: 0, hit: undefined };

/** @param kind KILL, SHORT or an error code; @param nth counted from 1; @param under only calls on files below this folder */
export const arm = (kind, nth, under) => Object.assign(fault, { kind, nth, under, count: 0, hit: undefined });

/** What was hit, and how many calls there were. */
export const disarm = () => {
  const { hit, count } = fault;
  fault.kind = '';
  return { hit, count };
};

const files = new Set();
const below = (path) => fault.kind !== '' && typeof path === 'string' && path.startsWith(fault.under);

/** Counts a call; true where it shall write short. */
const pass = (call) => {
  fault.count++;
  if (fault.count !== fault.nth) return false;
  fault.hit = call;
  if (fault.kind === 'SHORT') return call === 'write';
  if (fault.kind === 'KILL') process.kill(process.pid, 'SIGKILL');
  throw Object.assign(new Error(`${fault.kind}: injected, ${call}`), { code: fault.kind, syscall: call });
};

const { promises } = fs;
const real = { ...fs, promises: { ...promises } };

for (const call of ['link', 'rename', 'unlink', 'mkdir'])
  promises[call] = async (...words) => {
    if (below(words[0])) pass(call);
    return real.promises[call](...words);
  };

promises.open = async (path, ...words) => {
  if (!below(path)) return real.promises.open(path, ...words);
  pass('open');
  const handle = await real.promises.open(path, ...words);
  for (const call of ['read', 'write', 'sync']) {
    const plain = handle[call].bind(handle);
    handle[call] = async (...args) => {
      if (fault.kind !== '' && pass(call)) args[2] = Math.max(1, args[2] >> 1);
      return plain(...args);
    };
  }
  // Closing may report that earlier writes failed; the file is closed all the same.
  const close = handle.close.bind(handle);
  handle.close = async () => {
    await close();
    if (fault.kind !== '') pass('close');
  };
  return handle;
};

fs.openSync = (path, ...words) => {
  if (!below(path)) return real.openSync(path, ...words);
  pass('open');
  const file = real.openSync(path, ...words);
  files.add(file);
  return file;
};
fs.closeSync = (file) => {
  files.delete(file);
  return real.closeSync(file);
};
for (const call of ['read', 'write'])
  fs[`${call}Sync`] = (file, ...args) => {
    if (fault.kind !== '' && files.has(file) && pass(call)) args[2] = Math.max(1, args[2] >> 1);
    return real[`${call}Sync`](file, ...args);
  };
syncBuiltinESMExports();

const [kind, nth] = (process.env.LINEWASH_FAULT ?? '').split('@');
if (nth !== undefined) arm(kind, Number(nth), process.env.LINEWASH_FAULT_UNDER ?? '/');
