/** The verbs on Node, which look at their arguments first. */

import { goal, lineHours, split } from '../parts/noise-shapes.ts';
import { recipe } from '../parts/shapes.ts';
import {
  box,
  boxNumbers,
  checked,
  finite,
  flag,
  list,
  notNegative,
  object,
  oneOf,
  optional,
  positive,
  type Shape,
  table,
  text,
  whole,
} from '../plane/arguments.ts';
import { batchFiles as batchFilesInside } from './batch/batch-files.ts';
import { checkFiles as checkFilesInside } from './check-files.ts';
import { faintFiles as faintFilesInside } from './faint-files.ts';
import { hoursFiles as hoursFilesInside } from './hours-files.ts';
import { closeMasters as closeMastersInside, openMasters as openMastersInside } from './masters/masters.ts';
import { measureFiles as measureFilesInside } from './measure-files.ts';
import { mixFiles as mixFilesInside } from './mix-files.ts';
import { inputs, masters, plan, run, work } from './shapes.ts';
import { sheetFiles as sheetFilesInside } from './sheet-files.ts';
import { starlessFiles as starlessFilesInside } from './starless-files.ts';
import { suggestFiles as suggestFilesInside } from './suggest-files.ts';
import { tallyFiles as tallyFilesInside } from './tally-files.ts';

const zeros = optional(oneOf('undefined', 'data'));
const stars = optional(text);
const crop = optional(flag);
const force = optional(flag);
/** To be filled where they are found, or at these places, by line. */
const spots: Shape = optional((value) => (value === 'fill' ? undefined : table(list(list(whole(0), 2, 2)))(value)));
/** A path, or a tally. */
const tally: Shape = (value) => (typeof value === 'string' ? undefined : object({ targets: list(object()) })(value));

export const batchFiles = checked('batchFiles', batchFilesInside, [object({ ...plan, ...run })]);
export const checkFiles = checked('checkFiles', checkFilesInside, [object({ ...masters, zeros })]);
export const closeMasters = checked('closeMasters', closeMastersInside, [list(object({ files: list(object()) }))]);
export const faintFiles = checked('faintFiles', faintFilesInside, [
  object({
    ...masters,
    output: optional(text),
    box: optional(box),
    falseBlobs: optional(positive),
    flats: optional(notNegative),
    largest: optional(oneOf(4, 8, 16, 32, 64, 128, 256)),
    aim: optional(positive),
    hours: optional(positive),
    light: optional(positive),
    zeros,
    force,
    cache: optional(text),
  }),
]);
export const hoursFiles = checked('hoursFiles', hoursFilesInside, [
  object({
    recipe,
    ...masters,
    time: optional(table(positive)),
    tally: optional(tally),
    target: optional(text),
    box: optional(box),
    outline: optional(list(list(finite, 6), 1)),
    background: optional(box),
    goal: optional(goal),
    ...split,
    lines: optional(lineHours),
    move: optional(object({ from: text, to: text, hours: positive })),
    draws: optional(whole(2)),
  }),
]);
export const measureFiles = checked('measureFiles', measureFilesInside, [
  object({
    ...masters,
    at: optional(list(whole(0), 2, 2)),
    background: optional(
      object({
        order: optional(oneOf(1, 2, 3, 4)),
        include: optional(list(boxNumbers)),
        exclude: optional(list(boxNumbers)),
        picture: optional(text),
      }),
    ),
    stars: optional(flag),
    defects: optional(flag),
    zeros,
    force,
  }),
]);
export const mixFiles = checked('mixFiles', mixFilesInside, [
  object({
    recipe,
    ...masters,
    output: text,
    sample: optional(oneOf('u8', 'u16', 'f32')),
    space: optional(oneOf('srgb', 'display-p3', 'srgb-linear')),
    alpha: optional(flag),
    stars,
    crop,
    size: optional(whole(1)),
    after: optional(positive),
    time: optional(table(positive)),
    rejected: optional(text),
    force,
    threads: optional(whole(1)),
    cache: optional(text),
  }),
]);
export const openMasters = checked('openMasters', openMastersInside, [
  inputs,
  optional(object({ zeros, apart: optional(flag), executor: optional(object()), ...work })),
]);
export const sheetFiles = checked('sheetFiles', sheetFilesInside, [
  object({
    recipes: list(object({ recipe, caption: optional(text) }), 1),
    ...masters,
    output: text,
    size: optional(whole(16, 4096)),
    columns: optional(whole(1, 100)),
    stars,
    crop,
    force,
  }),
]);
export const starlessFiles = checked('starlessFiles', starlessFilesInside, [
  object({ ...masters, output: text, zeros, force, cache: optional(text) }),
]);
export const suggestFiles = checked('suggestFiles', suggestFilesInside, [object({ ...masters, spots })]);
export const tallyFiles = checked('tallyFiles', tallyFilesInside, [
  object({ folders: list(text, 1), filters: optional(table(text)), ...work }),
]);
