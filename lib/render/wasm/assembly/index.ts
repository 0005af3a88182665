// The pixel kernel: stored samples of up to eight channels to interleaved colours. The host sets the numbers, puts a
// strip's samples into memory and calls `run`. Floating-point traps do not exist here; undefined pixels are NaN until
// they are stored as black.
import { BLOCK, channelAt, curveAt, planeAt } from './channel';
import { storeCodes } from './codes';
import { sampleBytes } from './decode';
import { encodeLight, lightOfDisplay, storePixels } from './encode';
import { finish } from './finish';
import { replaceLightness } from './lightness';
import { lightOfColours } from './transfer';
import { CLIP, limit, limitHighlights } from './limits';
import { lift, limitGreen, mix } from './mix';
import { mixWide } from './mix-wide';
import { normalise, normaliseWide, padded } from './normalise';

export { setCodes } from './codes';
export { setBend, setChromaGain, setKnot } from './finish';
export { flatten, setLine } from './flatten';
export { setLuminance } from './lightness';
export { setMatrixEntry } from './matrices';
export { setWeight } from './mix';
export { setTransferReach } from './transfer';

let channels: i32 = 0;
let wideMix: bool = false;
let lifted: bool = false;
let display: bool = false;
let greenAmount: f64 = 0;
let greenLarger: bool = false;
let lightness: bool = false;
let limited: bool = false;
let ratio: bool = false;
let gamut: i32 = CLIP;
let encoded: bool = false;
let decoded: bool = false;
let finished: bool = false;
let sampleSize: i32 = 2;
let alpha: bool = false;

export function setSteps(
  channelCount: i32,
  mixesWide: bool,
  inDisplay: bool,
  hasIntensity: bool,
  hasLightness: bool,
  canLeaveRange: bool,
  keepsRatio: bool,
  gamutMethod: i32,
  encodes: bool,
  decodes: bool,
  hasFinish: bool,
): void {
  channels = channelCount;
  wideMix = mixesWide;
  display = inDisplay;
  lifted = hasIntensity;
  lightness = hasLightness;
  limited = canLeaveRange;
  ratio = keepsRatio;
  gamut = gamutMethod;
  encoded = encodes;
  decoded = decodes;
  finished = hasFinish;
}

export function setGreenLimit(amount: f64, larger: bool): void {
  greenAmount = amount;
  greenLarger = larger;
}

export function setOutput(bytesOfSample: i32, hasAlpha: bool): void {
  sampleSize = bytesOfSample;
  alpha = hasAlpha;
}

export function setSamples(
  c: i32,
  type: i32,
  bigEndian: bool,
  wide: bool,
  rounded: bool,
  scaled: bool,
  zero: f64,
  scale: f64,
  blank: f64,
): void {
  const channel = channelAt(c);
  channel.type = type;
  channel.bigEndian = bigEndian;
  channel.wide = wide;
  channel.rounded = rounded;
  channel.scaled = scaled;
  channel.zero = zero;
  channel.scale = scale;
  channel.blank = blank;
}

export function setLevels(c: i32, offset: f64, inverse: f64): void {
  const channel = channelAt(c);
  channel.offset = offset;
  channel.high = <f32>offset;
  channel.low = <f32>(offset - <f64>channel.high);
  channel.inverse = inverse;
}

export function setCurve(i: i32, kind: i32, a: f32, b: f32, sign: f32, shift: f32): void {
  const curve = curveAt(i);
  curve.kind = kind;
  curve.a = a;
  curve.b = b;
  curve.sign = sign;
  curve.shift = shift;
}

export function setTable(i: i32, table: usize, bits: i32, base: i32, last: i32): void {
  const curve = curveAt(i);
  curve.table = table;
  curve.bits = bits;
  curve.base = base;
  curve.last = last;
}

/** Where the topmost row of a channel's strip lies, and the step to the next lower row. */
export function setInput(c: i32, input: usize, step: i32): void {
  const channel = channelAt(c);
  channel.input = input;
  channel.step = step;
}

function runBlock(row: i32, x: i32, count: i32, to: usize): void {
  const whole = padded(count);
  for (let c = 0; c < channels; c++) {
    const channel = channelAt(c);
    const from = channel.input + <isize>row * <isize>channel.step + <usize>(x * sampleBytes(channel.type));
    if (wideMix) normaliseWide(channel, from, planeAt(c), whole);
    else normalise(channel, curveAt(c), from, planeAt(c), whole);
  }
  if (wideMix) mixWide(channels, lifted, greenAmount, greenLarger, whole);
  else {
    mix(channels, whole);
    if (lifted) lift(whole);
    if (greenAmount > 0) limitGreen(<f32>greenAmount, greenLarger, whole);
  }
  if (lightness) replaceLightness(channels, display, lifted, whole);
  if (finished) {
    if (limited) limitHighlights(ratio, whole);
    if (display) lightOfColours(whole);
    finish(whole);
    limit(ratio, gamut, false, whole);
  } else if (limited) limit(ratio, gamut, display, whole);
  if (encoded && sampleSize == 1) return storeCodes(to, alpha, whole);
  if (encoded) encodeLight(whole);
  else if (decoded) lightOfDisplay(whole);
  storePixels(to, sampleSize, alpha, whole);
}

/** Rows of a strip, top first, to interleaved pixels without gaps at `out`. */
export function run(out: usize, rows: i32, width: i32): void {
  const pixelBytes = sampleSize * (alpha ? 4 : 3);
  for (let row = 0; row < rows; row++)
    for (let x = 0; x < width; x += BLOCK)
      runBlock(row, x, min(BLOCK, width - x), out + <usize>(row * width + x) * <usize>pixelBytes);
}

/** The first address of memory that the module does not use itself. */
export function firstFree(): usize {
  return __heap_base;
}
