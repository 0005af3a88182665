import type { WrittenRecipe } from '../recipe/schema.ts';
import ember from './ember.json' with { type: 'json' };
import gilt from './gilt.json' with { type: 'json' };
import hoo from './hoo.json' with { type: 'json' };
import hso from './hso.json' with { type: 'json' };
import sho from './sho.json' with { type: 'json' };

export interface CatalogueEntry {
  /** Name on the command line and in links: lower case, no spaces. */
  readonly id: string;
  readonly recipe: WrittenRecipe;
}

const entry = (id: string, recipe: unknown): CatalogueEntry => ({ id, recipe: recipe as WrittenRecipe });

/** The recipes that come with linewash, in the order they are shown. A test checks each against the schema. */
export const CATALOGUE: readonly CatalogueEntry[] = [
  entry('ember', ember),
  entry('sho', sho),
  entry('gilt', gilt),
  entry('hoo', hoo),
  entry('hso', hso),
];

export const catalogueRecipe = (id: string): WrittenRecipe | undefined =>
  CATALOGUE.find((e) => e.id === id.toLowerCase())?.recipe;
