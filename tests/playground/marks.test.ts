import '../../playground/elements/picture/picture.ts';
import '../../playground/elements/marks/marks.ts';
import type { LitElement } from 'lit';
import { MARKS, type MarkedPicture } from '../../lib/work/marks.ts';
import { patternOf } from '../../playground/model/draw-marks.ts';
import { $kinds, $marked, MARK_NAMES } from '../../playground/state/marks.ts';
import { $picture } from '../../playground/state/picture.ts';
import { $tools } from '../../playground/state/tools.ts';
import { $camera } from '../../playground/state/view.ts';
import { equal, ok } from './assert.ts';
import { clean, find, mount, preview, settled, spoken } from './support.ts';

const frame = () => new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve)));

/** The left third is out of gamut, the middle at full strength, nothing in the right. */
const marked = (): MarkedPicture => ({
  width: 60,
  height: 40,
  marks: Uint8Array.from({ length: 2400 }, (_, i) => (i % 60 < 20 ? MARKS.outside : i % 60 < 40 ? MARKS.full : 0)),
  share: { outside: 1 / 3, full: 1 / 3, undefined: 0 },
});

describe('marks', () => {
  let element: LitElement;
  beforeEach(async () => {
    $picture.set(preview());
    $camera.set(undefined);
    $kinds.set(MARK_NAMES);
    $tools.set(['marks']);
    element = await mount('lw-picture');
    await frame();
    $marked.set({ marked: marked() });
    await frame();
    await settled(element);
  });
  afterEach(() => $tools.set([]));

  /** Dark and light pixels over each third of the picture. */
  const thirds = () => {
    const canvas = find<HTMLCanvasElement>(element, 'lw-marks-over', 'canvas');
    const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
    const wide = (canvas.height * 60) / 40;
    const left = (canvas.width - wide) / 2;
    return [0, 1, 2].map((third) => {
      const tones = { dark: 0, light: 0 };
      for (let y = 0; y < canvas.height; y++)
        for (let x = Math.ceil(left + (third * wide) / 3) + 1; x < left + ((third + 1) * wide) / 3 - 1; x++) {
          const at = 4 * (y * canvas.width + x);
          if (data[at + 3]! < 200) continue;
          if (data[at]! < 60) tones.dark++;
          if (data[at]! > 200) tones.light++;
        }
      return tones;
    });
  };

  it('are patterns of dark and light over the pixels that they mean', () => {
    const [outside, full, none] = thirds();
    for (const tones of [outside!, full!]) ok(tones.dark > 100 && tones.light > 100, JSON.stringify(tones));
    equal(none, { dark: 0, light: 0 });
  });

  it('differ without colour', () => {
    const bytes = MARK_NAMES.map((name) => {
      const tile = patternOf(name, 1);
      const { data } = tile.getContext('2d')!.getImageData(0, 0, tile.width, tile.height);
      for (let i = 0; i < data.length; i += 4) ok(data[i] === data[i + 1] && data[i] === data[i + 2], 'grey');
      return data.join();
    });
    equal(new Set(bytes).size, 3);
  });

  it('say how much of the picture has each, and can be left out', async () => {
    equal(
      (await spoken('checkbox')).map(({ name, checked }) => `${name.trim()}: ${checked}`),
      [
        'out of gamut 33.3 % of the picture: true',
        'full strength 33.3 % of the picture: true',
        'no data 0.0 % of the picture: true',
      ],
    );
    await clean(element);
    find<HTMLInputElement>(element, 'lw-marks', 'input').click();
    await settled(element);
    equal($kinds.get(), ['full', 'undefined']);
    const [outside, full] = thirds();
    equal(outside, { dark: 0, light: 0 });
    ok(full!.dark > 100, 'the others stay');
  });
});
