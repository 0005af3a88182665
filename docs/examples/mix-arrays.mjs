// Maps stretched channels in memory through a matrix, and through a catalogue recipe: no files, nothing measured.
import { catalogueRecipe, mixArrays } from 'linewash';

const width = 256;
const height = 64;
const ramp = (value) => Float32Array.from({ length: width * height }, (_, i) => value(i % width, Math.floor(i / width)));
// Display values from 0 (black) to 1 (white), rows top first; NaN where there is no data.
const channels = {
  S: ramp((x) => x / (width - 1)),
  H: ramp((_, y) => y / (height - 1)),
  O: ramp((x) => (x < 10 ? Number.NaN : 0.25)),
};

const matrix = [
  [0.7, 0.3, 0],
  [0.1, 0.6, 0.3],
  [0, 0.1, 0.9],
];
const plain = mixArrays(channels, { width, height, alpha: true }, matrix);
const ember = mixArrays(channels, { width, height, sample: 'u16' }, catalogueRecipe('ember'));
console.log(plain.bands, [...plain.data.slice(4 * 100, 4 * 101)].join());
console.log(ember.bands, ember.data.length);
