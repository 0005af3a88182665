import { LAB_TO_LMS, LMS_TO_LAB } from '../../colour/lms.ts';
import type { Space } from '../../colour/space.ts';
import { SPACES } from '../../colour/spaces.ts';
import type { Transfer } from '../../colour/transfer.ts';
import { isScaled, SAMPLE_CODE, type SampleForm } from '../../plane/sample-form.ts';
import { isWide } from '../../plane/strips.ts';
import type { Settled } from '../../recipe/settle/settled.ts';
import type { KernelForm } from '../kernel.ts';
import { codeTables } from './codes.ts';
import type { CurvePlan } from './curve-plan.ts';
import { loadFinish } from './load-finish.ts';
import type { KernelExports } from './module.ts';
import { GAMUT_CODE, type KernelPlan } from './plan.ts';
import { type CurveTable, makeTable } from './table.ts';

// The numbers by which assembly/channel.ts knows these things.
const CURVE_CODE = { linear: 0, bias: 1, table: 2 } as const;
const INTENSITY = 8;
const DECODE = 9;
const ENCODE = 10;
const SAMPLE_BYTES = { u8: 1, u16: 2, f32: 4 } as const;

/** Takes tables into memory and gives their addresses. */
export type PlaceTable = (table: Float32Array | Uint8Array) => number;

/** Executor all numbers of a plan to an instance. */
export const loadPlan = (
  kernel: KernelExports,
  plan: KernelPlan,
  form: KernelForm,
  inputs: readonly SampleForm[],
  place: PlaceTable,
): void => {
  const { settled, curves } = plan;
  const placed = new Map<Float32Array | Uint8Array, number>();
  // Equal curves share a table, which then stays in the first-level cache.
  const placeOnce: PlaceTable = (table) => {
    const address = placed.get(table) ?? place(table);
    placed.set(table, address);
    return address;
  };
  for (const [c, input] of inputs.entries()) loadSamples(kernel, c, input, curves[c]!.precise);
  for (const [c, { background, black, white }] of settled.channels.entries())
    kernel.setLevels(c, background + black, 1 / (white - black));
  for (const [c, curve] of curves.entries()) loadCurve(kernel, c, curve.plan, placeOnce);
  if (plan.intensity) loadCurve(kernel, INTENSITY, plan.intensity.plan, placeOnce);
  for (const [r, row] of settled.matrix.entries()) for (const [c, w] of row.entries()) kernel.setWeight(r, c, w);
  for (const [c, w] of (settled.lightness ?? []).entries()) kernel.setWeight(3, c, w);
  const limit = settled.greenLimit;
  kernel.setGreenLimit(limit?.amount ?? 0, Number(limit?.mean === 'max'));
  kernel.setOutput(SAMPLE_BYTES[form.sample], Number(form.bands === 4));
  const space = SPACES[settled.space];
  loadFinish(kernel, settled.finish);
  const needsTransfer = movesLight(plan, space);
  loadSpace(kernel, space, needsTransfer && (settled.finish ? FINE : USUAL), place);
  if (form.sample === 'u8' && endsInLight(settled) && space.transfer !== 'linear') {
    const { cells, first, leasts } = codeTables(space);
    kernel.setCodes(place(cells), place(leasts), first);
  }
  loadSteps(kernel, plan, space);
};

const loadSteps = (kernel: KernelExports, plan: KernelPlan, space: Space): void => {
  const { settled } = plan;
  const curved = space.transfer !== 'linear';
  const display = settled.mixIn === 'display';
  kernel.setSteps(
    settled.channels.length,
    Number(plan.wideMix),
    Number(display),
    Number(settled.intensity !== undefined),
    Number(settled.lightness !== undefined),
    Number(plan.canLeaveRange),
    Number(settled.highlights === 'ratio'),
    GAMUT_CODE[settled.gamut] ?? 0,
    Number(endsInLight(settled) && curved),
    Number(!endsInLight(settled) && !curved),
    Number(settled.finish !== undefined),
  );
};

/** Whether colours are linear light after the last step: a finish leaves them so, whatever was mixed. */
const endsInLight = ({ mixIn, finish }: Settled): boolean => mixIn === 'light' || finish !== undefined;

/** Whether the transfer curve is used at all: display values that stay in range are written as they are. */
const movesLight = ({ settled, canLeaveRange }: KernelPlan, { transfer }: Space): boolean =>
  settled.finish !== undefined ||
  (settled.mixIn === 'light'
    ? transfer !== 'linear' || settled.intensity === undefined
    : canLeaveRange || transfer === 'linear');

const loadSamples = (kernel: KernelExports, c: number, input: SampleForm, precise: boolean): void => {
  const { type, bigEndian, zero, scale, blank, physical } = input;
  const wide = isWide({ type: physical });
  kernel.setSamples(
    c,
    SAMPLE_CODE[type]!,
    Number(bigEndian),
    Number(wide || precise),
    Number(!wide),
    Number(isScaled(input)),
    zero,
    scale,
    blank ?? Number.NaN,
  );
};

const loadCurve = (kernel: KernelExports, i: number, plan: CurvePlan, place: PlaceTable): void => {
  const { a, b, sign, shift } = plan.kind === 'bias' ? plan : { a: 0, b: 0, sign: 0, shift: 0 };
  kernel.setCurve(i, CURVE_CODE[plan.kind], a, b, sign, shift);
  if (plan.kind === 'table') loadTable(kernel, i, plan.table, place);
};

const loadTable = (kernel: KernelExports, i: number, table: CurveTable, place: PlaceTable): void => {
  kernel.setTable(i, place(table.pairs), table.bits, table.base, table.last);
};

/** Transfer tables reach this far; the ends of the straight parts near black lie above 2^-5 and 2^-9. */
const REACH = 2;
const DECODE_SHAPE = { low: -5, high: REACH };
const ENCODE_SHAPE = { low: -9, high: REACH, m: 9 };

/**
 * Cells an octave of the table of decoding, as a power of two. A finish makes dark channels of small differences of bright
 * ones, and multiplies what they are wrong by.
 */
const USUAL = 9;
const FINE = 11;

const transferTables = new Map<Transfer, Map<number, { decode: CurveTable; encode: CurveTable }>>();

const tablesOf = ({ display }: Space, m: number) => {
  const known = transferTables.get(display) ?? new Map();
  transferTables.set(display, known);
  const before = known.get(m);
  if (before !== undefined) return before;
  const made = {
    decode: makeTable(display.decode, { ...DECODE_SHAPE, m }),
    encode: makeTable(display.encode, ENCODE_SHAPE),
  };
  known.set(m, made);
  return made;
};

/** @param cells those of the table of decoding; false where light is not moved at all */
const loadSpace = (kernel: KernelExports, space: Space, cells: number | false, place: PlaceTable): void => {
  kernel.setLuminance(...space.luminance);
  const entries = [...space.toLms, ...space.fromLms, ...LMS_TO_LAB.flat(), ...LAB_TO_LMS.flat()];
  for (const [i, value] of entries.entries()) kernel.setMatrixEntry(i, value);
  // Without a table the host would be asked; without a use for one it never is.
  kernel.setTransferReach(cells ? 2 ** REACH : 0, cells ? 2 ** REACH : 0);
  if (!cells) return;
  const { decode, encode } = tablesOf(space, cells);
  loadTable(kernel, DECODE, decode, place);
  loadTable(kernel, ENCODE, encode, place);
};
