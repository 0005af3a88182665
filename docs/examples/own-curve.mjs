// Stretches masters with a curve of one's own, and mixes what comes of it: mixArrays takes channels as they are.
import { readFile } from 'node:fs/promises';
import { catalogueRecipe, mixArrays } from 'linewash';
import { measureChannels, memorySource, openPlane } from 'linewash/parts';

/** Square root between the background and the brightest thousandth. */
const stretch = (values, { level, percentiles }) =>
  values.map((v) => Math.sqrt(Math.max(0, (v - level) / (percentiles['99.9'] - level))));

const masters = [];
for (const name of ['S', 'H', 'O']) {
  const file = `demo/emberwing-${name}.fits`;
  masters.push({ name, source: await openPlane(memorySource(file, await readFile(file))) });
}
const measured = await measureChannels(masters);
const { width, height } = masters[0].source;
const channels = {};
for (const [i, { name, source }] of masters.entries()) {
  const values = new Float64Array(width * height);
  await source.readRows(0, height, values);
  channels[name] = stretch(values, measured[i]);
}
const { data, bands } = mixArrays(channels, { width, height }, catalogueRecipe('ember'));
console.log(width, height, bands, data.length);
