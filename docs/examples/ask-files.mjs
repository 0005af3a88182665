// Asks masters what they are, which mixes suit them and where the next hours do most good, then draws the answers side
// by side. Run where the sample masters are: npx linewash samples demo && node ask-files.mjs
import { catalogueRecipe, hoursFiles, measureFiles, sheetFiles, suggestFiles } from 'linewash';

const inputs = { S: 'demo/emberwing-S.fits', H: 'demo/emberwing-H.fits', O: 'demo/emberwing-O.fits' };
const ember = catalogueRecipe('ember');

const { channels, warnings } = await measureFiles({ inputs, at: [600, 400] });
for (const { name, level, noise, value } of channels) console.log(name, Math.round(level), noise.toFixed(1), value);
for (const warning of warnings) console.error(warning);

const { advice } = await hoursFiles({ recipe: ember, inputs, more: 10, lines: { O: { cap: 12 } } });
for (const { name, added } of advice.allocation.shares) console.log(`${name}: ${added.toFixed(1)} h more`);

const { suggestions } = await suggestFiles({ inputs });
const recipes = [{ recipe: ember }, ...suggestions.map(({ id, recipe }) => ({ recipe, caption: id }))];
const { output, width, height } = await sheetFiles({ recipes, inputs, output: 'asked.png', size: 240, force: true });
console.log(output, width, height, recipes.length);
