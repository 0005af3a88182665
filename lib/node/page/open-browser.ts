import { spawn } from 'node:child_process';
import { platform } from 'node:process';

/** The program of each system that opens an address in the user's browser; no shell reads the address. */
const OPENERS: Readonly<Record<string, readonly string[]>> = {
  darwin: ['open'],
  win32: ['rundll32', 'url.dll,FileProtocolHandler'],
};

/** Asks the system to open an address. Resolves to false where that did not even begin: there may be no desktop. */
export const openBrowser = (address: string): Promise<boolean> => {
  const [program, ...words] = OPENERS[platform] ?? ['xdg-open'];
  return new Promise((resolve) => {
    const opener = spawn(program!, [...words, address], { stdio: 'ignore', detached: true });
    opener.once('error', () => resolve(false));
    opener.once('spawn', () => {
      opener.unref();
      resolve(true);
    });
  });
};
