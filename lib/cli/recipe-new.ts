import { existsSync, readFileSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Command } from 'commander';
import { writeContent } from '../node/files/write-whole.ts';
import { refuseOutput } from '../node/mix-files.ts';
import { recipeText } from '../recipe/written/serialize.ts';
import { usage } from './lines.ts';
import { RECIPE_HELP, recipeFrom } from './recipe-source.ts';
import { type Context, examples, printJson } from './verb.ts';

/** The published schema: above the source, and above the built command. */
const SCHEMAS = ['../../docs/recipe.schema.json', '../../../docs/recipe.schema.json'].map((path) =>
  fileURLToPath(new URL(path, import.meta.url)),
);

const SCHEMA_NAME = 'recipe.schema.json';

interface Flags {
  readonly from: string;
  readonly force?: boolean;
  readonly json?: boolean;
}

/** `linewash recipe new`: a recipe to change, and the schema by which editors complete its keys. */
export const recipeNew = (group: Command, { streams }: Context): void => {
  group
    .command('new')
    .description(
      `Writes a recipe to begin with, and beside it ${SCHEMA_NAME}, by which editors complete keys and mark mistakes.`,
    )
    .argument('<file>', 'the new recipe file')
    .option('--from <recipe>', RECIPE_HELP, 'sho')
    .option('--force', 'replace files that exist')
    .option('--json', 'print the names of the files as JSON')
    .addHelpText('after', examples('linewash recipe new mine.json', 'linewash recipe new mine.json --from ember'))
    .action(async (file: string, { from, force = false, json }: Flags) => {
      if (basename(file) === SCHEMA_NAME)
        throw usage(`${SCHEMA_NAME} is the name of the schema`, 'choose another name');
      await refuseOutput({ output: file, force });
      const schema = join(dirname(file), SCHEMA_NAME);
      const content = readFileSync(SCHEMAS.find((path) => existsSync(path))!, 'utf8');
      const isThere = (await readFile(schema, 'utf8').catch(() => undefined)) === content;
      if (!isThere) await refuseOutput({ output: schema, force });
      const text = recipeText(await recipeFrom(from));
      if (!isThere) await writeContent(schema, force, content);
      await writeContent(file, force, text.replace('{', `{\n  "$schema": "./${SCHEMA_NAME}",`));
      if (json) printJson(streams, { recipe: file, schema });
      else streams.out(`${file}\n${schema}\n`);
    });
};
