// Step by step what mixFiles does: open masters, settle a recipe on them, and take the picture row by row.
import { readFile } from 'node:fs/promises';
import { catalogueRecipe, renderPicture, settleChannels } from 'linewash';
import { memorySource, openPlane, pictureInMemory, preparedChannels } from 'linewash/parts';

const recipe = catalogueRecipe('ember');
const channels = [];
for (const name of ['S', 'H', 'O']) {
  const file = `demo/emberwing-${name}.fits`;
  channels.push({ name, source: await openPlane(memorySource(file, await readFile(file))) });
}
const { settled } = await settleChannels(recipe, channels);
const { width, height } = channels[0].source;
const form = { width, height, sample: 'u8', bands: 3 };
const { writer, picture } = pictureInMemory(form);
await renderPicture(preparedChannels(settled, channels), settled, form, writer);
console.log(picture.width, picture.height, picture.data.length);
