// The packages that reach a user, with their licences: those that the library needs, and those built into the page.
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

/** Built into the library, since their packages are many times as large as what is used of them. */
export const BUILT_IN = ['mathjs', 'colorjs.io'];
/** Single modules of these are built in, without what the rest of the package depends on. */
export const PARTS_BUILT_IN = ['geotiff'];
/** Modules within them that have another author: their licence, and what to say of it. */
const OTHER_AUTHORS = {
  geotiff: {
    part: 'geotiff/jpeg',
    licence: 'Apache-2.0',
    words: 'The decoder of JPEG in it: Copyright 2011 notmasteryet, Apache-2.0; its text stands below mathjs.',
  },
};
/** Built into the page; what they import in turn is found from here. */
const PAGE = ['lit', 'nanostores'];

export const pages = async ({ root }) => {
  const { library, inside, page, packages } = shipped(root);
  const content = [
    '# Licences',
    '',
    'linewash is MIT; its recipes and sample masters are CC0-1.0. These packages reach a user with it; nothing else does. Their texts come',
    'with the package and the built page, as `licences.txt`. This page is generated from the lockfile: `npm run docs -- licences`.',
    '',
    '## Needed by the library and the command',
    '',
    ...table(library, packages),
    '',
    '## Built into the library',
    '',
    'Parts of them are in its files, so that they need not be installed.',
    '',
    ...table(inside, packages),
    '',
    '## Built into the page besides',
    '',
    ...table(page, packages),
    '',
  ];
  return [{ path: 'docs/licences.md', content: content.join('\n') }];
};

/** The folders of all packages that reach a user. */
const shipped = (root) => {
  const { packages } = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8'));
  const { dependencies } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
  const library = closure(Object.keys(dependencies), packages);
  const parts = PARTS_BUILT_IN.map((name) => `node_modules/${name}`);
  const inside = [...closure(BUILT_IN, packages), ...parts].filter((name) => !library.includes(name)).sort(byName);
  const page = closure(PAGE, packages).filter((name) => ![...library, ...inside].includes(name));
  return { library, inside, page, packages };
};

const table = (folders, packages) => [
  '| package | version | licence |',
  '|---|---|---|',
  ...folders.flatMap((folder) => {
    const { version, license } = packages[folder];
    const other = OTHER_AUTHORS[nameOf(folder)];
    const row = (name, licence) => `| ${name} | ${version} | ${licence} |`;
    return [row(nameOf(folder), license), ...(other ? [row(other.part, other.licence)] : [])];
  }),
];

/** The text that goes with the built page: licences and notices of all that is in it. */
export const licenceTexts = (root) => {
  const { library, inside, page } = shipped(root);
  return [...library, ...inside, ...page]
    .map((folder) => {
      const name = nameOf(folder);
      const words = [textOf(folder, root) || 'See its package.', OTHER_AUTHORS[name]?.words].filter(Boolean);
      return `${name}\n${'='.repeat(name.length)}\n\n${words.join('\n\n')}\n`;
    })
    .join('\n\n');
};

/** Packages and what they depend on: their folders, by name. A package may have one that it needs in its own folder. */
const closure = (names, packages, from = '', seen = new Set()) => {
  for (const name of names) {
    const own = `${from}node_modules/${name}`;
    const folder = packages[own] ? own : `node_modules/${name}`;
    if (seen.has(folder)) continue;
    const entry = packages[folder];
    if (!entry) throw new Error(`${name} is not in the lockfile`);
    seen.add(folder);
    closure(Object.keys(entry.dependencies ?? {}), packages, `${folder}/`, seen);
  }
  return [...seen].sort(byName);
};

const byName = (a, b) => (nameOf(a) < nameOf(b) ? -1 : 1);

const nameOf = (folder) => folder.replace(/^.*node_modules\//, '');

const textOf = (path, root) => {
  const folder = join(root, path);
  return readdirSync(folder)
    .filter((file) => /^(licen[cs]e|notice)/i.test(file))
    .sort()
    .map((file) => readFileSync(join(folder, file), 'utf8').replaceAll('\r', '').trim())
    .join('\n\n');
};
