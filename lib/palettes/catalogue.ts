import type { WrittenRecipe } from '../recipe/written/schema.ts';
import bridge from './bridge.json' with { type: 'json' };
import calm from './calm.json' with { type: 'json' };
import dusk from './dusk.json' with { type: 'json' };
import ember from './ember.json' with { type: 'json' };
import equal from './equal.json' with { type: 'json' };
import gilt from './gilt.json' with { type: 'json' };
import harvest from './harvest.json' with { type: 'json' };
import hoo from './hoo.json' with { type: 'json' };
import hos from './hos.json' with { type: 'json' };
import hso from './hso.json' with { type: 'json' };
import kiln from './kiln.json' with { type: 'json' };
import lantern from './lantern.json' with { type: 'json' };
import natural from './natural.json' with { type: 'json' };
import pewter from './pewter.json' with { type: 'json' };
import plainsight from './plainsight.json' with { type: 'json' };
import quartet from './quartet.json' with { type: 'json' };
import rims from './rims.json' with { type: 'json' };
import rosewater from './rosewater.json' with { type: 'json' };
import sho from './sho.json' with { type: 'json' };
import soo from './soo.json' with { type: 'json' };
import tide from './tide.json' with { type: 'json' };
import velvet from './velvet.json' with { type: 'json' };
import widefield from './widefield.json' with { type: 'json' };

const entry = <Id extends string>(id: Id, recipe: unknown) => ({ id, recipe: recipe as WrittenRecipe });

/** The recipes that come with linewash, in the order they are shown. A test checks each against the schema. */
export const CATALOGUE = Object.freeze([
  entry('ember', ember),
  entry('kiln', kiln),
  entry('sho', sho),
  entry('gilt', gilt),
  entry('hoo', hoo),
  entry('rosewater', rosewater),
  entry('bridge', bridge),
  entry('tide', tide),
  entry('hso', hso),
  entry('hos', hos),
  entry('soo', soo),
  entry('dusk', dusk),
  entry('harvest', harvest),
  entry('lantern', lantern),
  entry('calm', calm),
  entry('rims', rims),
  entry('velvet', velvet),
  entry('plainsight', plainsight),
  entry('equal', equal),
  entry('natural', natural),
  entry('quartet', quartet),
  entry('pewter', pewter),
  entry('widefield', widefield),
]);

/** A recipe that comes with linewash, and the name it is asked for by: lower case, no spaces. */
export type CatalogueEntry = (typeof CATALOGUE)[number];

/** A name that the catalogue holds. */
export type CatalogueName = CatalogueEntry['id'];

/** The catalogue recipe of this name, upper or lower case; undefined where there is none. */
export function catalogueRecipe(id: CatalogueName): WrittenRecipe;
export function catalogueRecipe(id: string): WrittenRecipe | undefined;
export function catalogueRecipe(id: string): WrittenRecipe | undefined {
  return CATALOGUE.find((known) => known.id === id.toLowerCase())?.recipe;
}
