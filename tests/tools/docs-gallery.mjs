// The gallery: every catalogue recipe on the sample masters, each picture with a bar of its lines' colours below.
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';

/** The invented targets of `linewash samples`, from left to right. */
const TARGETS = ['emberwing', 'brightfen', 'palehoop'];
/** Width of each in the picture, and of the masters that are made for it. */
const WIDTH = 300;
const MADE = 900;
const BAR = 18;

export const pages = async ({ load }) => {
  const { CATALOGUE } = await load('/lib/palettes/catalogue.ts');
  const { describeRecipe } = await load('/lib/recipe/share/describe.ts');
  const { recipeHash } = await load('/lib/recipe/written/hash.ts');
  const draw = await painter(load);
  const [files, sections] = [[], []];
  for (const { id, recipe } of CATALOGUE) {
    const description = await describeRecipe(recipe);
    const path = `docs/gallery/${id}.jpg`;
    const drawn = [];
    for (const target of TARGETS) drawn.push(await draw(recipe, target));
    files.push({ path, content: await picture(drawn, description.lines) });
    sections.push(section(id, description, await recipeHash(recipe)));
  }
  await draw.close();
  return [...files, { path: 'docs/gallery.md', content: `${[intro(CATALOGUE), ...sections].join('\n\n')}\n` }];
};

/** Masters of all targets in a folder of their own, by target and line; no target has a fourth filter. */
const madeMasters = async (load) => {
  const { sampleFiles } = await load('/samples/scene/index.ts');
  const folder = mkdtempSync(join(tmpdir(), 'linewash-gallery-'));
  for (const target of TARGETS)
    for await (const { name, bytes } of sampleFiles({ target, width: MADE })) writeFileSync(join(folder, name), bytes);
  const fileOf = (target, line) => join(folder, `${target}-${line === 'N' ? 'H' : line}.fits`);
  return { fileOf, remove: () => rmSync(folder, { recursive: true, force: true }) };
};

/** A function that draws a recipe, settled on the full-size masters of a target, at a small size. */
const painter = async (load) => {
  const { openMasters, closeMasters } = await load('/lib/node/masters/masters.ts');
  const { neededChannels } = await load('/lib/recipe/settle/channels.ts');
  const { settleChannels } = await load('/lib/recipe/settle/settle-channels.ts');
  const { plainRecipe } = await load('/lib/recipe/written/plain.ts');
  const { pictureInMemory, renderPicture } = await load('/lib/render/picture.ts');
  const { shrink } = await load('/lib/plane/shrink.ts');
  const { planeSource } = await load('/lib/plane/memory-plane.ts');
  const made = await madeMasters(load);
  const draw = async (written, target) => {
    const recipe = { ...(await plainRecipe(written)), space: 'srgb' };
    const names = neededChannels(recipe);
    const masters = await openMasters(Object.fromEntries(names.map((name) => [name, made.fileOf(target, name)])));
    try {
      const { settled } = await settleChannels(recipe, masters);
      const small = [];
      for (const { name, source } of masters)
        small.push({ name, source: planeSource(source.file, await shrink(source, WIDTH)) });
      const { width, height } = small[0].source;
      const form = { width, height, sample: 'u8', bands: 3 };
      const { writer, picture: drawn } = pictureInMemory(form);
      await renderPicture(small, settled, form, writer);
      return { width, height, data: drawn.data };
    } finally {
      await closeMasters(masters);
    }
  };
  return Object.assign(draw, { close: made.remove });
};

/** Pictures side by side, the lower ones with black below, over the colours of the lines. */
const beside = (pictures) => {
  const width = pictures.reduce((sum, one) => sum + one.width, 0);
  const height = Math.max(...pictures.map((one) => one.height));
  const data = Buffer.alloc(3 * width * height);
  let left = 0;
  for (const one of pictures) {
    for (let y = 0; y < one.height; y++)
      data.set(one.data.subarray(3 * y * one.width, 3 * (y + 1) * one.width), 3 * (y * width + left));
    left += one.width;
  }
  return { width, height, data };
};

const picture = async (pictures, lines) => {
  const { width, height, data } = beside(pictures);
  const bar = Buffer.alloc(width * BAR * 3);
  for (let i = 0; i < width * BAR; i++) {
    const { hex } = lines[Math.floor(((i % width) / width) * lines.length)];
    for (let c = 0; c < 3; c++) bar[3 * i + c] = Number.parseInt(hex.slice(1 + 2 * c, 3 + 2 * c), 16);
  }
  const raw = { width, height: height + BAR, channels: 3 };
  return sharp(Buffer.concat([Buffer.from(data), bar]), { raw })
    .jpeg({ quality: 82, chromaSubsampling: '4:4:4' })
    .toBuffer();
};

const intro = (catalogue) =>
  [
    '# Gallery',
    '',
    `The ${catalogue.length} recipes that come with linewash, on its three invented targets: layers that come apart, a bright field whose`,
    'lines go together, and a faint shell beside a medium field (`linewash samples`). The bar below each picture shows the colour that each line gets alone, in the order of the channels. All recipes are free to use and',
    'change (CC0-1.0); the code after a name is its content hash, equal for all recipes that make the same picture.',
    '',
    'This page is generated: `npm run docs`.',
  ].join('\n');

const section = (id, { name, about, lines, knobs, confusable, condition }, hash) => {
  const masters = lines.map((line) => `${line.name}=${line.name}.fits`).join(' ');
  const knobText = knobs.map((k) => `\`--knob ${k.name}=${k.value}\` (${k.min} to ${k.max}): ${k.about}`);
  const alike = confusable.filter(({ viewer }) => viewer !== 'all');
  const always = confusable.filter(({ viewer }) => viewer === 'all');
  const facts = [
    `Lines: ${lines.map((line) => `${line.name} \`${line.hex}\``).join(', ')}.`,
    ...(knobText.length > 0 ? [`Knobs: ${knobText.join('; ')}.`] : []),
    ...(always.length > 0 ? [`Cannot be told apart: ${always.map((p) => p.lines.join(' and ')).join('; ')}.`] : []),
    ...(always.length === 0 && alike.length > 0
      ? [`Hard to tell apart: ${alike.map((p) => `${p.lines.join(' and ')} (${p.viewer})`).join('; ')}.`]
      : []),
    condition === null ? 'Lines cannot be recovered from the colours.' : `Condition ${condition.toFixed(2)}.`,
  ];
  return [
    `## ${name}`,
    '',
    `\`${id}\` · ${hash}`,
    '',
    `![${name} on the sample masters](gallery/${id}.jpg)`,
    '',
    about,
    '',
    facts.join(' '),
    '',
    '```sh',
    `linewash mix ${id} ${masters} -o ${id}.tif`,
    '```',
  ].join('\n');
};
