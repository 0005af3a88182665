// Lets the work never end: looking at a file takes for ever, and an idle message port keeps the process alive. Loaded
// before linewash by `node --import`.
import fs from 'node:fs';
import { syncBuiltinESMExports } from 'node:module';
import { MessageChannel } from 'node:worker_threads';

const { port1 } = new MessageChannel();
port1.on('message', () => {});
fs.promises.open = () => {
  process.stderr.write('stuck\n');
  return new Promise(() => {});
};
syncBuiltinESMExports();

// Says that a signal has been heard, once whoever else listens to it has done so too.
const names = ['SIGINT', 'SIGTERM'];
const heard = () => {
  for (const name of names) process.off(name, heard);
  setImmediate(() => process.stderr.write('heard\n'));
};
for (const name of names) process.on(name, heard);
