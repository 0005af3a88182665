// Mixes masters that somebody chooses in a page, and paints them on a canvas. Put through a bundler, it takes in what a
// browser can do and nothing of Node:
//   <input type="file" multiple> <canvas></canvas> <script type="module" src="in-a-page.mjs"></script>
import { catalogueRecipe, renderPicture, settleChannels } from 'linewash';
import { openPlane, pictureInMemory, preparedChannels } from 'linewash/parts';
import { blobSource } from 'linewash/web';

/** Masters by line, as `{ S: file, H: file, O: file }`, to a picture that a canvas takes. */
export const mixed = async (files, recipe) => {
  const channels = [];
  for (const [name, file] of Object.entries(files))
    channels.push({ name, source: await openPlane(blobSource(file.name, file)) });
  const { settled } = await settleChannels(recipe, channels);
  const { width, height } = channels[0].source;
  const form = { width, height, sample: 'u8', bands: 4 };
  const { writer, picture } = pictureInMemory(form);
  await renderPicture(preparedChannels(settled, channels), settled, form, writer);
  return new ImageData(new Uint8ClampedArray(picture.data.buffer), width, height);
};

document.querySelector('input').addEventListener('change', async ({ target }) => {
  // The samples are named emberwing-S.fits and so on.
  const byLine = Object.fromEntries([...target.files].map((file) => [/-([SHO])\./.exec(file.name)[1], file]));
  const picture = await mixed(byLine, catalogueRecipe('ember'));
  const canvas = document.querySelector('canvas');
  Object.assign(canvas, { width: picture.width, height: picture.height });
  canvas.getContext('2d').putImageData(picture, 0, 0);
});
