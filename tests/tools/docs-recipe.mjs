// The JSON Schema of recipes, and the tables of their reference page.
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { toJsonSchema } from '@valibot/to-json-schema';

const SCHEMA = 'docs/recipe.schema.json';
const PAGE = 'docs/recipe.md';

export const pages = async ({ load, root }) => {
  const { recipeSchema, RECIPE_VERSION } = await load('/lib/recipe/written/schema.ts');
  const schema = publishedSchema(recipeSchema, RECIPE_VERSION);
  const page = await readFile(join(root, PAGE), 'utf8');
  const tables = {
    keys: keyTable(schema),
    balances: choiceTable(Object.values((await load('/lib/mix/balance.ts')).BALANCES)),
    curves: choiceTable(Object.values((await load('/lib/stretch/curves.ts')).CURVES)),
    gamuts: choiceTable(Object.values((await load('/lib/colour/gamut.ts')).GAMUT_METHODS)),
  };
  return [
    { path: SCHEMA, content: `${JSON.stringify(schema, null, 2)}\n` },
    { path: PAGE, content: fill(page, tables) },
  ];
};

/**
 * The schema as others can use it. What it cannot say (a finite number, which JSON has no other of) is left out; what
 * the reader allows beside it is added: keys of one's own, and exactly one of two ways to give the weights.
 */
const publishedSchema = (recipeSchema, version) => {
  const { type, properties, additionalProperties } = toJsonSchema(recipeSchema, {
    target: 'draft-2020-12',
    errorMode: 'ignore',
  });
  return {
    $schema: 'https://json-schema.org/draft/2020-12/schema',
    $id: `urn:linewash:recipe:${version}`,
    title: `Linewash recipe, version ${version}`,
    description: 'How the lines of a nebula become colours: a palette as a file that can be handed on.',
    type,
    properties: {
      $schema: { type: 'string', description: 'The schema that an editor checks this file by; no part of the recipe.' },
      ...properties,
    },
    patternProperties: { '^x-': {} },
    additionalProperties,
    oneOf: [{ required: ['matrix'] }, { required: ['lines'] }],
  };
};

/** Puts each table between `<!-- NAME -->` and `<!-- /NAME -->`. */
const fill = (page, tables) =>
  Object.entries(tables).reduce((text, [name, table]) => {
    const [open, close] = [`<!-- ${name} -->`, `<!-- /${name} -->`];
    const [from, to] = [text.indexOf(open), text.indexOf(close)];
    if (from < 0 || to < from) throw new Error(`${PAGE} has no place for the table ${name}`);
    return `${text.slice(0, from + open.length)}\n\n${table}\n\n${text.slice(to)}`;
  }, page);

const table = (titles, rows) =>
  [titles, titles.map(() => '---'), ...rows].map((cells) => `| ${cells.join(' | ')} |`).join('\n');

const choiceTable = (kinds) =>
  table(
    ['name', 'what it does'],
    kinds.map(({ name, about }) => [`\`${name}\``, about]),
  );

const keyTable = (schema) =>
  table(
    ['key', 'value', 'meaning'],
    keysOf(schema, '').map(({ key, value, about }) => [`\`${key}\``, value.replaceAll('|', '\\|'), about]),
  );

/** Every key with the keys below it: `levels.CHANNEL.black`. */
const keysOf = ({ properties = {} }, prefix) =>
  Object.entries(properties).flatMap(([key, schema]) => {
    const name = `${prefix}${key}`;
    const { described, inner, suffix } = unfold(schema);
    const own = { key: name, value: valueText(schema), about: schema.description ?? '' };
    return described ? [own, ...keysOf(inner, `${name}${suffix}`)] : [own];
  });

/** Where the keys of a value are: in itself, or in its entry for each channel or knob. */
const unfold = (schema) => {
  if (schema.properties) return { described: true, inner: schema, suffix: '.' };
  const each = schema.additionalProperties;
  return each?.properties ? { described: true, inner: each, suffix: '.NAME.' } : { described: false };
};

const valueText = (schema) => {
  if (schema.anyOf) return schema.anyOf.map(valueText).join(' or ');
  if (schema.const !== undefined) return `\`${JSON.stringify(schema.const)}\``;
  if (schema.enum) return schema.enum.map((value) => `\`${value}\``).join(', ');
  if (schema.type === 'number' || schema.type === 'integer') return rangeOf(schema);
  if (schema.type === 'string') return schema.pattern === '\\S' ? 'expression' : 'text';
  if (schema.prefixItems) return `list of ${schema.prefixItems.length}`;
  if (schema.type === 'array') return `list of ${valueText(schema.items)}`;
  if (schema.type === 'null') return '`null`';
  if (schema.properties) return `\`{${Object.keys(schema.properties).join(', ')}}\``;
  return `by name: ${valueText(schema.additionalProperties)}`;
};

/** Ranges so wide that they only keep numbers finite are not worth a word. */
const rangeOf = ({ minimum, maximum }) =>
  Math.abs(minimum) > 1e30 || Math.abs(maximum) > 1e29 ? 'number' : `${minimum} … ${maximum}`;
