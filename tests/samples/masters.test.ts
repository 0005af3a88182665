import { readFileSync, statSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { gunzipSync } from 'node:zlib';
import { beforeAll, describe, expect, it } from 'vitest';
import { openFits } from '../../lib/formats/fits/open.ts';
import { memorySource } from '../../lib/plane/bytes.ts';
import type { PlaneSource } from '../../lib/plane/plane.ts';
import {
  drawMaster,
  EMBERWING,
  LATER,
  LATER_NAME,
  LATER_STEP,
  LINES,
  type Line,
  type LineTruth,
  masterName,
  noisePlane,
  type PerLine,
  sceneTruth,
} from '../../samples/scene/index.ts';

const pathOf = (line: Line) => fileURLToPath(new URL(`../../samples/masters/${masterName(line)}`, import.meta.url));

const opened = async (line: Line): Promise<{ source: PlaneSource; data: Float32Array }> => {
  const source = await openFits(memorySource(masterName(line), readFileSync(pathOf(line))));
  const data = new Float32Array(source.width * source.height);
  await source.readRows(0, source.height, data);
  return { source, data };
};

describe('the shipped masters', () => {
  let truth: PerLine<LineTruth>;
  const masters = {} as Record<Line, Awaited<ReturnType<typeof opened>>>;
  beforeAll(async () => {
    truth = sceneTruth();
    for (const line of LINES) masters[line] = await opened(line);
  });

  it.each(LINES)('%s is what the generator computes', (line) => {
    const computed = drawMaster(truth[line], EMBERWING.noiseSeed);
    const { data } = masters[line];
    let apart = 0;
    let most = 0;
    for (let i = 0; i < data.length; i++) {
      const difference = Math.abs(data[i]! - computed[i]!);
      if (difference > 0) apart++;
      if (difference > most) most = difference;
    }
    expect(data.length).toBe(computed.length);
    // exp, sin and pow may differ in the last bit between engines, which can turn a rounding.
    expect(most).toBeLessThanOrEqual(1);
    expect(apart / data.length).toBeLessThan(0.001);
  });

  it('have a later night of O beside them: the same field, other noise and hours, small in bytes', async () => {
    const path = fileURLToPath(new URL(`../../samples/masters/${LATER_NAME}`, import.meta.url));
    const source = await openFits(memorySource(LATER_NAME, gunzipSync(readFileSync(path))));
    const data = new Float32Array(source.width * source.height);
    await source.readRows(0, source.height, data);
    const later = sceneTruth(LATER).O;
    const computed = drawMaster(later, LATER.noiseSeed, LATER_STEP);
    expect(data.filter((value, i) => Math.abs(value - computed[i]!) > LATER_STEP).length).toBe(0);
    expect(data.filter((value, i) => value !== computed[i]).length / data.length).toBeLessThan(0.001);
    expect(later.mean).toEqual(truth.O.mean);
    expect(source.facts).toMatchObject({ object: 'Emberwing', filter: 'O III', exposure: 400, subs: 36, hours: 4 });
    // Rounding to a step adds a twelfth of its square to the variance: here less than a twenty-fifth of it.
    const rounding = LATER_STEP ** 2 / 12;
    expect(noisePlane(later).filter((sigma) => sigma > 0 && sigma ** 2 < 25 * rounding)).toHaveLength(0);
    expect(statSync(path).size).toBeLessThan(0.9e6);
  });

  it.each([
    ['S', 'S II', 6],
    ['H', 'H-alpha', 4],
    ['O', 'O III', 5],
  ] as const)('%s states its filter %s and %d hours in subs of 400 s', (line, filter, hours) => {
    const { source } = masters[line];
    expect(source.warnings).toEqual([]);
    expect([source.width, source.height, source.type]).toEqual([1200, 800, 'u16']);
    expect(source.facts).toMatchObject({ object: 'Emberwing', filter, exposure: 400, subs: hours * 9, hours });
    const comments = source.facts.cards.filter((card) => card.keyword === 'COMMENT');
    expect(comments.map((card) => card.comment).join(' ')).toContain('invented scene');
  });

  it('take less than 8 MB together', () => {
    const bytes = LINES.map((line) => statSync(pathOf(line)).size).reduce((a, b) => a + b);
    expect(bytes).toBeLessThan(8e6);
  });

  it.each(LINES)('%s is dark, hardly saturated and noisier than its rounding', (line) => {
    const sorted = masters[line].data.slice().sort();
    const median = sorted[sorted.length >> 1]! / 65535;
    expect(median).toBeGreaterThan(0.01);
    expect(median).toBeLessThan(0.03);
    expect(sorted.filter((value) => value === 65535).length).toBeLessThan(50);
    expect(noisePlane(truth[line]).filter((sigma) => sigma > 0 && sigma < 3)).toHaveLength(0);
  });

  it('only O has borders without data: the four corners that a turned frame does not reach', () => {
    const zeros = (line: Line) => masters[line].data.filter((value) => value === 0).length;
    expect([zeros('S'), zeros('H')]).toEqual([0, 0]);
    // Each side of the turned frame cuts off one right-angled triangle (plane geometry).
    const [a, b, turn] = [600, 400, (2.5 * Math.PI) / 180];
    const pair = (p: number, q: number) =>
      (p - q * Math.tan(turn / 2)) * (q - (q - p * Math.sin(turn)) / Math.cos(turn));
    const area = pair(a, b) + pair(b, a);
    expect(Math.abs(zeros('O') / area - 1)).toBeLessThan(0.01);
    const corner = (x: number, y: number) => masters.O.data[y * 1200 + x];
    expect(
      [corner(0, 0), corner(1199, 0), corner(0, 799), corner(1199, 799)].filter((value) => value === 0).length,
    ).toBeGreaterThan(0);
  });

  it('nebula strengths stand 10 : 5 : 1', () => {
    const mean = (line: Line) => truth[line].nebula.reduce((a, b) => a + b, 0) / truth[line].nebula.length;
    expect(mean('H') / mean('S')).toBeCloseTo(10, 0.5);
    expect(mean('O') / mean('S')).toBeCloseTo(5, 0.5);
  });
});
