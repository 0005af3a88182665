import { expect, it } from 'vitest';
import { openFits } from '../../lib/formats/fits/open.ts';
import { memorySource } from '../../lib/plane/bytes.ts';
import { LATER, LINES, lineTruth, SEASON, subsOf, TARGET_NAMES, TARGETS } from '../../samples/scene/index.ts';

const opened = await Promise.all(
  subsOf().map(async (sub) => {
    const bytes = await sub.bytes();
    return { ...sub, size: bytes.length, source: await openFits(memorySource(sub.name, bytes)) };
  }),
);

it('hold every sub that the masters say were averaged', () => {
  for (const target of TARGET_NAMES)
    for (const line of LINES) {
      const small = { width: 60, height: 40 };
      const later = target === 'emberwing' && line === 'O' ? lineTruth({ ...LATER, ...small }, 'O').subs : 0;
      const { subs } = lineTruth({ target, ...small, flaws: {} }, line);
      const { filter } = TARGETS[target].optics[line];
      const taken = opened.filter(
        ({ source: { facts } }) => facts.object === TARGETS[target].object && facts.filter === filter,
      );
      expect([target, line, taken.length]).toEqual([target, line, subs + later]);
    }
});

it('state what a header states, are small, and differ from one another', () => {
  for (const { source, size } of opened) {
    expect(size).toBe(5760);
    expect(source.warnings).toEqual([]);
    expect(source.facts).toMatchObject({ exposure: 400, gain: expect.any(Number), binning: [1, 1] });
    expect(source.facts.cards.find(({ keyword }) => keyword === 'IMAGETYP')?.value).toBe('Light Frame');
  }
  expect(new Set(opened.map(({ night, name }) => `${night}/${name}`)).size).toBe(opened.length);
  expect(new Set(opened.map(({ source }) => source.facts.dateStart)).size).toBe(opened.length);
});

it('were taken one after the other in nine nights, of which clouds cut two short', () => {
  expect(new Set(opened.map(({ night }) => night)).size).toBe(9);
  const starts = opened.map(({ source }) => Date.parse(`${source.facts.dateStart}Z`));
  for (let i = 1; i < starts.length; i++) expect(starts[i]! - starts[i - 1]!).toBeGreaterThanOrEqual(420_000);
  // A night runs from noon to noon.
  opened.forEach(({ night }, i) => {
    expect(new Date(starts[i]! - 12 * 3_600_000).toISOString().slice(0, 10)).toBe(night);
  });
  const subs = (sky: string) =>
    SEASON.filter((night) => night.sky === sky).map(({ runs }) => runs.reduce((sum, run) => sum + run.subs, 0));
  expect(subs('clouds')).toHaveLength(2);
  expect(Math.max(...subs('clouds'))).toBeLessThan(Math.min(...subs('clear')) / 2);
});

it('can be had of one target alone', () => {
  expect(new Set(subsOf('brightfen').map(({ target }) => target))).toEqual(new Set(['brightfen']));
});
