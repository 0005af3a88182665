import { openFiles } from './files.ts';

interface LaunchQueue {
  setConsumer(consume: (launch: { readonly files?: readonly FileSystemFileHandle[] }) => void): void;
}

/** Opens the files with which the installed page is started, as a drop does. */
export const openLaunched = (): void => {
  const queue = (globalThis as { launchQueue?: LaunchQueue }).launchQueue;
  queue?.setConsumer(({ files = [] }) => {
    if (files.length > 0) void Promise.all(files.map((handle) => handle.getFile())).then(openFiles);
  });
};
