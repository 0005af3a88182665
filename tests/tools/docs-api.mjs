// The reference of the library: every public name with its types and docstring, as typedoc reads them.
import { Application, LogLevel, ReflectionKind } from 'typedoc';

const MODULES = [
  {
    file: 'lib/node/surface.ts',
    anywhere: 'lib/surface.ts',
    title: 'Verbs: `linewash`',
    about:
      'What most programs need. A recipe may be given as it is written, with expressions, knobs and colours of lines.',
  },
  {
    file: 'lib/node/parts/surface.ts',
    anywhere: 'lib/parts/surface.ts',
    title: 'Parts: `linewash/parts`',
    about:
      'What the verbs are made of, for programs that need a step alone. Types that verbs speak of stand above, and can be imported from here as well.',
  },
];
/** Types that are inferred from a schema are its keys, which have a page of their own. */
const SCHEMAS = {
  Recipe: 'a recipe with every key filled in: see the [recipe reference](recipe.md)',
  WrittenRecipe: 'a recipe as people write it: see the [recipe reference](recipe.md)',
  BatchPlan: 'a plan of a batch: see [batch](batch.md)',
};

/** Named in public types, but for those who work on linewash alone. */
const INNER = ['SinkSystem', 'CountPasses', 'CountRequest', 'ChannelFindings', 'QUANTITIES'];

export const pages = async ({ root }) => {
  const { project, warnings } = await readApi(root);
  if (warnings.length > 0) throw new Error(warnings.join('\n'));
  return [{ path: 'docs/api.md', content: page(project) }];
};

/** The public API, and what typedoc finds missing in it. */
export const readApi = async (root) => {
  const app = await Application.bootstrap({
    // A name belongs to the module in which it stands first.
    entryPoints: [...MODULES.map(({ file }) => file), ...MODULES.map(({ anywhere }) => anywhere)].map(
      (file) => `${root}${file}`,
    ),
    tsconfig: `${root}lib/tsconfig.json`,
    basePath: root,
    readme: 'none',
    disableGit: true,
    skipErrorChecking: true,
    disableSources: true,
    sort: ['source-order'],
    logLevel: LogLevel.Warn,
    intentionallyNotExported: INNER,
    requiredToBeDocumented: ['Class', 'Interface', 'TypeAlias', 'Variable', 'Function'],
    validation: { notExported: true, invalidLink: true, notDocumented: true },
  });
  const warnings = [];
  app.logger.log = (message, level) => {
    if (level >= LogLevel.Warn) warnings.push(message);
  };
  const project = await app.convert();
  if (!project) throw new Error(warnings.join('\n'));
  app.validate(project);
  return { project, warnings };
};

const page = (project) =>
  `${[
    '# The library',
    'Every public name with its types. Units, ranges, errors and sources are said where they matter; a `Plane` is rows, top first, as',
    'physical values, NaN where there is no data. The [README](../README.md#ten-lines-of-your-own) shows the way in. This page is',
    'generated: `npm run docs -- api`.',
    '',
    'What is marked *On Node* is not there where a bundler builds for a browser: all else is free of files and of the page, bytes come',
    'from a `ByteSource` and go to a `ByteSink`.',
    '',
    '`linewash/web` (byte sources and sinks over blobs, and the service that the page runs in a worker) moves with the page and is not',
    'part of this promise.',
    ...MODULES.flatMap(({ file, anywhere, title, about }) => {
      const everywhere = new Set(moduleOf(project, anywhere).children.map(({ name }) => name));
      return ['', `## ${title}`, '', about, ...names(moduleOf(project, file), everywhere)];
    }),
  ].join('\n')}\n`;

const moduleOf = (project, file) => project.children.find(({ name }) => file === `${name}.ts`);

/** Functions and values first, then the types they speak of; re-exported names stand where they come from. */
const names = (module, everywhere) => {
  const own = module.children.filter(({ kind }) => kind !== ReflectionKind.Reference);
  const types = ReflectionKind.Interface | ReflectionKind.TypeAlias;
  const by = (wanted) => own.filter(({ kind }) => ((kind & types) !== 0) === wanted).sort(byName);
  const values = by(false).map((reflection) => marked(entry(reflection), everywhere.has(reflection.name)));
  return [...values, ...by(true).map(entry)].flat();
};
/** Values that need files are marked as such. @param entry starts with a blank line and the heading */
const marked = (entry, isAnywhere) =>
  isAnywhere ? entry : [...entry.slice(0, 3), '*On Node.*', '', ...entry.slice(3)];

const byName = (a, b) => (a.name.toLowerCase() < b.name.toLowerCase() ? -1 : 1);

const entry = (reflection) => {
  const { name, kind } = reflection;
  const heading = ['', `### ${name}`, ''];
  if (SCHEMAS[name]) return [...heading, `${capital(SCHEMAS[name])}.`];
  const call = reflection.signatures?.[0];
  if (call) return [...heading, code(`${name}${signature(call)}`), '', ...said(call), ...parameters(call)];
  const members = (reflection.children ?? reflection.type?.declaration?.children ?? []).filter(
    (m) => !m.flags.isExternal,
  );
  if (kind === ReflectionKind.Class) return [...heading, ...said(reflection), ...list(members)];
  if (reflection.type?.declaration?.signatures)
    return [
      ...heading,
      code(`${name}${signature(reflection.type.declaration.signatures[0])}`),
      '',
      ...said(reflection),
    ];
  if (members.length > 0) return [...heading, ...said(reflection), ...list(members)];
  return [...heading, code(`${name}: ${typeText(reflection.type)}`), '', ...said(reflection)];
};

const signature = ({ parameters = [], type }) => {
  const words = parameters.map(
    (p) => `${nameOf(p)}${p.flags.isOptional || p.defaultValue ? '?' : ''}: ${typeText(p.type)}`,
  );
  return `(${words.join(', ')}): ${typeText(type)}`;
};

/** A parameter that is taken apart at once has no name: it gets that of its type. */
const nameOf = ({ name, type }) =>
  name.startsWith('__')
    ? String(type)
        .replace(/^./, (c) => c.toLowerCase())
        .replace(/\W.*/, '') || 'options'
    : name;

/** A type in one line; a long one is cut, for a reference is no place to read it. */
const typeText = (type) => {
  const text = String(type ?? 'void').replace(/\s+/g, ' ');
  return text.length > 220 ? `${text.slice(0, 200)}…` : text;
};

const list = (members) => ['', ...members.filter(({ name }) => name !== 'constructor').map(member)];

const member = (reflection) => {
  const { name, flags, type } = reflection;
  const call = reflection.signatures?.[0] ?? type?.declaration?.signatures?.[0];
  const shown = call ? `${name}${signature(call)}` : `${name}${flags.isOptional ? '?' : ''}: ${typeText(type)}`;
  const words = text((reflection.comment ?? call?.comment)?.summary);
  return `- ${code(shown)}${words ? ` ${words}` : ''}`;
};

const parameters = ({ parameters = [] }) => {
  const described = parameters.filter(({ comment }) => comment?.summary.length > 0);
  return described.length === 0 ? [] : ['', ...described.map((p) => `- ${code(p.name)}: ${text(p.comment.summary)}`)];
};

/** The docstring: what it does, then what it gives, and which errors it throws. */
const said = ({ comment }) => {
  if (!comment) return [];
  const tags = { '@throws': 'Throws', '@returns': 'Gives' };
  const blocks = comment.blockTags
    .filter(({ tag }) => tags[tag])
    .map(({ tag, content }) => `${tags[tag]} ${text(content)}`);
  return [[text(comment.summary), ...blocks.map((block) => block.replace(/([^.])$/, '$1.'))].filter(Boolean).join(' ')];
};

const text = (parts) =>
  (parts ?? [])
    .map((part) => part.text)
    .join('')
    .replace(/\s+/g, ' ')
    .trim();
const capital = (words) => words[0].toUpperCase() + words.slice(1);
const code = (words) => (words.includes('`') ? `\`\` ${words} \`\`` : `\`${words}\``);
