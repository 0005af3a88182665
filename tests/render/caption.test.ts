import { describe, expect, it } from 'vitest';
import { type Caption, drawCaption } from '../../lib/render/caption/caption.ts';
import { STROKES } from '../../lib/render/caption/strokes.ts';

const at = ({ width, coverage }: Caption, x: number, y: number) => coverage[y * width + x]!;
const same = (a: Caption, b: Caption) =>
  expect([a.width, a.height, ...a.coverage]).toEqual([b.width, b.height, ...b.coverage]);

describe('a caption', () => {
  it('is drawn by strokes of one breadth with soft edges, and a margin all round', () => {
    // Capitals 60 pixels high: the alphabet's unit is 10 pixels, an H is 4 wide and 6 high over 2 for descenders.
    const h = drawCaption('H', 60);
    const margin = 10;
    expect([h.width, h.height]).toEqual([40 + 2 * margin, 80 + 2 * margin]);
    const bars = [
      [0, 0, 0, 60],
      [40, 0, 40, 60],
      [0, 30, 40, 30],
    ] as const;
    const distance = (x: number, y: number) =>
      Math.min(
        ...bars.map(([x1, y1, x2, y2]) =>
          Math.hypot(x - Math.min(x2, Math.max(x1, x)), y - Math.min(y2, Math.max(y1, y))),
        ),
      );
    let soft = 0;
    for (let y = 0; y < h.height; y++)
      for (let x = 0; x < h.width; x++) {
        const far = distance(x + 0.5 - margin, y + 0.5 - margin);
        const cover = at(h, x, y);
        if (far < 3) expect(cover).toBe(1);
        else if (far > 5) expect(cover).toBe(0);
        else if (cover > 0 && cover < 1) soft++;
      }
    expect(soft).toBeGreaterThan(100);
  });

  it('has slanted strokes as well, ending where they end', () => {
    const slash = drawCaption('/', 60);
    // From the foot of the line at the left to its top, 40 pixels further right.
    for (const t of [0, 0.25, 0.5, 0.75, 1])
      expect(at(slash, Math.floor(10 + 40 * t), Math.floor(70 - 60 * t))).toBe(1);
    expect(at(slash, 10, 10)).toBe(0);
    expect(at(slash, 49, 69)).toBe(0);
  });

  it('sets letters side by side, with room between words', () => {
    const [one, two, apart] = ['H', 'HH', 'H H'].map((text) => drawCaption(text, 60));
    const step = two!.width - one!.width;
    expect(step).toBeGreaterThan(40);
    expect(apart!.width - two!.width).toBeGreaterThan(20);
    for (let y = 0; y < one!.height; y++)
      for (let x = 0; x < 25; x++) expect(at(two!, x + step, y)).toBeCloseTo(at(one!, x, y), 5);
    expect(drawCaption('', 60).coverage.every((v) => v === 0)).toBe(true);
  });

  it('drops accents, and shows a box for what the alphabet lacks', () => {
    same(drawCaption('Éñü', 20), drawCaption('Enu', 20));
    same(drawCaption('青', 20), drawCaption('星', 20));
    expect(drawCaption('青', 20).coverage.some((v) => v === 1)).toBe(true);
  });

  it('is shortened to the longest beginning that fits with an ellipsis, and only where it must be', () => {
    const text = 'A kiln at dusk';
    const whole = drawCaption(text, 20);
    same(drawCaption(text, 20, whole.width), whole);
    const beginnings = Array.from(text, (_, i) => drawCaption(`${text.slice(0, i + 1).trimEnd()}…`, 20));
    for (const widest of [60, 100, 150, whole.width - 1]) {
      const short = drawCaption(text, 20, widest);
      expect(short.width).toBeLessThanOrEqual(widest);
      same(short, beginnings.filter(({ width }) => width <= widest).at(-1)!);
    }
    const none = drawCaption(text, 20, 20);
    expect(none.coverage.every((v) => v === 0)).toBe(true);
  });
});

describe('the alphabet', () => {
  const glyphs = Object.keys(STROKES).map((character) => ({ character, drawn: drawCaption(character, 24) }));

  it('shows each character, inside its picture, unlike every other but O and 0', () => {
    const seen = new Map<string, string>();
    for (const { character, drawn } of glyphs) {
      expect(Math.max(...drawn.coverage), character).toBeGreaterThan(0.9);
      const picture = `${drawn.width} ${[...drawn.coverage].map((v) => v.toFixed(2))}`;
      const twin = seen.get(picture);
      expect([undefined, 'O', '0'], `${character} looks like ${twin}`).toContain(twin);
      seen.set(picture, character);
    }
    const letters = [...'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789αβ–…%()-+'];
    expect(letters.filter((letter) => STROKES[letter] === undefined)).toEqual([]);
  });

  it.each([...'AHIMOTUVWXYovwx80+-=*#^_|…'])('draws %s alike on its left and on its right', (character) => {
    const drawn = drawCaption(character, 24);
    for (let y = 0; y < drawn.height; y++)
      for (let x = 0; x < drawn.width; x++) expect(at(drawn, x, y)).toBeCloseTo(at(drawn, drawn.width - 1 - x, y), 3);
  });
});
