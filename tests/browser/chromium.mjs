import { execFileSync, spawnSync } from 'node:child_process';
import {
  accessSync,
  constants,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { delimiter, dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** Flags under which Chromium runs as root, in small containers and without reaching for the network. */
export const CHROMIUM_FLAGS = [
  '--no-sandbox',
  '--disable-dev-shm-usage',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  '--force-color-profile=srgb',
];

const NAMES = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable'];

const isExecutable = (path) => {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
};

const onPath = () =>
  (process.env.PATH ?? '')
    .split(delimiter)
    .flatMap((folder) => NAMES.map((name) => join(folder, name)))
    .find(isExecutable);

/**
 * A Chromium to test with: what CHROME_PATH names, else one on PATH, else the binary inside @sparticuz/chromium, which
 * LINEWASH_CHROMIUM=packaged takes in any case.
 * @returns {{ executablePath: string, env: Record<string, string>, from: string }}
 */
export const findChromium = () => {
  if (process.env.LINEWASH_CHROMIUM === 'packaged') return packagedChromium();
  const named = process.env.CHROME_PATH;
  if (named !== undefined) {
    if (!isExecutable(named)) throw new Error(`CHROME_PATH is ${named}, which cannot be run`);
    return { executablePath: named, env: {}, from: 'CHROME_PATH' };
  }
  const installed = onPath();
  if (installed !== undefined) return { executablePath: installed, env: {}, from: 'PATH' };
  return packagedChromium();
};

const packagedChromium = () => {
  const folder = unpacked();
  const executablePath = join(folder, 'chromium');
  const libraries = join(folder, 'al2023', 'lib');
  // The package's libraries only where the system lacks some: mixing both without need invites crashes.
  const missing = spawnSync('ldd', [executablePath], { encoding: 'utf8' });
  const lacks = missing.status !== 0 || missing.stdout.includes('not found');
  const env = {
    FONTCONFIG_FILE: join(folder, 'fonts.conf'),
    ...(lacks ? { LD_LIBRARY_PATH: libraries } : {}),
  };
  return { executablePath, env, from: 'the package @sparticuz/chromium' };
};

/** A folder of our own for this version and user, filled beside its name and renamed when whole. */
const unpacked = () => {
  const packed = createRequire(import.meta.url)
    .resolve('@sparticuz/chromium')
    .replace(/build[\\/].*$/, 'package.json');
  const { version } = JSON.parse(readFileSync(packed, 'utf8'));
  const user = process.getuid?.() ?? 'user';
  const folder = join(tmpdir(), `linewash-chromium-${version}-${user}`);
  if (existsSync(join(folder, 'fonts.conf'))) return folder;
  mkdirSync(dirname(folder), { recursive: true });
  const fresh = mkdtempSync(`${folder}-`);
  try {
    execFileSync(process.execPath, [fileURLToPath(new URL('./unpack.mjs', import.meta.url))], {
      stdio: ['ignore', 'ignore', 'inherit'],
      // The variable makes the package unpack its shared libraries too; TMPDIR is where it unpacks.
      env: { ...process.env, TMPDIR: fresh, AWS_EXECUTION_ENV: 'AWS_Lambda_nodejs20.x' },
    });
    writeFileSync(join(fresh, 'fonts.conf'), fontsConf(folder));
    rmSync(folder, { recursive: true, force: true });
    renameSync(fresh, folder);
  } catch (error) {
    rmSync(fresh, { recursive: true, force: true });
    // Another run may have been quicker.
    if (!existsSync(join(folder, 'fonts.conf'))) throw error;
  }
  return folder;
};

/** Without any configuration the binary aborts at the first text field. */
const fontsConf = (folder) => `<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "fonts.dtd">
<fontconfig>
  <dir>${join(folder, 'fonts')}</dir>
  <dir>/usr/share/fonts</dir>
  <cachedir>${join(folder, 'font-cache')}</cachedir>
</fontconfig>
`;
