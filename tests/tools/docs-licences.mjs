// The packages that reach a user, with their licences: those that the library needs, and those built into the page.
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

/** Built into the page; what they import in turn is found from here. */
const PAGE = ['lit', 'nanostores'];

export const pages = async ({ root }) => {
  const { library, page, packages } = shipped(root);
  const content = [
    '# Licences',
    '',
    'linewash is MIT; its recipes and sample masters are CC0-1.0. These packages reach a user with it; nothing else does. Their texts come',
    'with the built page, as `licences.txt`. This page is generated from the lockfile: `npm run docs -- licences`.',
    '',
    '## Needed by the library and the command',
    '',
    ...table(library, packages),
    '',
    '## Built into the page besides',
    '',
    ...table(page, packages),
    '',
  ];
  return [{ path: 'docs/licences.md', content: content.join('\n') }];
};

/** The names of all packages that reach a user. */
const shipped = (root) => {
  const { packages } = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8'));
  const { dependencies } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
  const library = closure(Object.keys(dependencies), packages);
  const page = closure(PAGE, packages).filter((name) => !library.includes(name));
  return { library, page, packages };
};

const table = (names, packages) => [
  '| package | version | licence |',
  '|---|---|---|',
  ...names.map((name) => {
    const { version, license } = packages[`node_modules/${name}`];
    return `| ${name} | ${version} | ${license} |`;
  }),
];

/** The text that goes with the built page: licences and notices of all that is in it. */
export const licenceTexts = (root) => {
  const { library, page } = shipped(root);
  return [...library, ...page]
    .map((name) => `${name}\n${'='.repeat(name.length)}\n\n${textOf(name, root) || 'See its package.'}\n`)
    .join('\n\n');
};

/** Packages and what they depend on, by name. */
const closure = (names, packages, seen = new Set()) => {
  for (const name of names) {
    if (seen.has(name)) continue;
    const entry = packages[`node_modules/${name}`];
    if (!entry) throw new Error(`${name} is not in the lockfile`);
    seen.add(name);
    closure(Object.keys(entry.dependencies ?? {}), packages, seen);
  }
  return [...seen].sort();
};

const textOf = (name, root) => {
  const folder = join(root, 'node_modules', name);
  return readdirSync(folder)
    .filter((file) => /^(licen[cs]e|notice)/i.test(file))
    .sort()
    .map((file) => readFileSync(join(folder, file), 'utf8').replaceAll('\r', '').trim())
    .join('\n\n');
};
