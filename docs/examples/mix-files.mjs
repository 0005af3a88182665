// Applies a recipe from a file to masters at full size, and writes the picture. Run where the sample masters are:
// npx linewash samples demo && node mix-files.mjs
import { readFile, writeFile } from 'node:fs/promises';
import { catalogueRecipe, mixFiles } from 'linewash';
import { parseRecipe, recipeText } from 'linewash/parts';

await writeFile('mine.json', recipeText({ ...catalogueRecipe('ember'), name: 'Mine', space: 'display-p3' }));
const recipe = parseRecipe(await readFile('mine.json', 'utf8'), 'mine.json');
const { output, settled, warnings } = await mixFiles({
  recipe,
  inputs: { S: 'demo/emberwing-S.fits', H: 'demo/emberwing-H.fits', O: 'demo/emberwing-O.fits' },
  output: 'mine.png',
  force: true,
});
for (const warning of warnings) console.error(warning);
console.log(output, settled.space, settled.channels.map(({ name }) => name).join());
