import '../../playground/elements/picture/picture.ts';
import '../../playground/elements/marks/marks.ts';
import type { LitElement } from 'lit';
import { patternOf } from '../../playground/model/draw-marks.ts';
import { $detail } from '../../playground/state/detail.ts';
import { $kinds, $marked, MARK_NAMES } from '../../playground/state/marks.ts';
import { $picture } from '../../playground/state/picture.ts';
import { $tones } from '../../playground/state/tones.ts';
import { $tools } from '../../playground/state/tools.ts';
import { $camera } from '../../playground/state/view.ts';
import { marked } from '../../playground/story/examples.ts';
import { equal, ok } from './assert.ts';
import { clean, find, mount, preview, settled, spoken } from './support.ts';

const frame = () => new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve)));

describe('marks', () => {
  let element: LitElement;
  beforeEach(async () => {
    $detail.set(undefined);
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
    equal(new Set(bytes).size, 4);
  });

  it('say how much of the picture has each, and can be left out', async () => {
    equal(
      (await spoken('checkbox')).map(({ name, checked }) => `${name.trim()}: ${checked}`),
      [
        'out of gamut 33.3 % of the picture: true',
        'full strength 33.3 % of the picture: true',
        'black 0.0 % of the picture: true',
        'no data 0.0 % of the picture: true',
      ],
    );
    await clean(element);
    find<HTMLInputElement>(element, 'lw-marks', 'fieldset input').click();
    await settled(element);
    equal($kinds.get(), ['full', 'black', 'undefined']);
    const [outside, full] = thirds();
    equal(outside, { dark: 0, light: 0 });
    ok(full!.dark > 100, 'the others stay');
  });
  it('come with a histogram of what is on screen, in words too', async () => {
    // A quarter has no red, a quarter all of it, a quarter half of it; the last has no data.
    const picture = preview(40, 40);
    for (let i = 0; i < 1600; i++) {
      const quarter = Math.floor((i % 40) / 10);
      picture.data.set([[0, 255, 128, 0][quarter]!, 128, 0, quarter === 3 ? 0 : 255], 4 * i);
    }
    $picture.set(picture);
    await settled(element);
    const tones = $tones.get()!;
    equal([tones.pixels, tones.colours[0].counts[128], tones.colours[0].counts[255]], [1200, 400, 400]);
    const cells = [...find(element, 'lw-marks', 'lw-tones').shadowRoot!.querySelectorAll('tbody tr')].map((row) =>
      [...row.querySelectorAll('th, td:not(.plot)')].map((cell) => cell.textContent!.trim()),
    );
    // Luminance of sRGB (IEC 61966-2-1), 128/255 being 0.2159 of light: 0.7152 × 0.2159 = 0.154 where red has none,
    // 0.200 where it has half, coded 0.485 and the middle one, 0.367 where it has all, coded 0.640.
    equal(cells, [
      ['red', '33.3 %', '0.50', '33.3 %'],
      ['green', '0.0 %', '0.50', '0.0 %'],
      ['blue', '100.0 %', '0.00', '0.0 %'],
      ['luminance', '0.0 %', '0.49', '0.0 %'],
    ]);
    equal(tones.luminance.counts[Math.round(0.64 * 255)], 400);
    const [red, , blue] = [...find(element, 'lw-marks', 'lw-tones').shadowRoot!.querySelectorAll('canvas')];
    /** Whether the first and the last column of a histogram are drawn. */
    const ends = (canvas: HTMLCanvasElement) => {
      const { data } = canvas.getContext('2d')!.getImageData(0, canvas.height - 2, canvas.width, 1);
      return [data[3]! > 0, data[4 * canvas.width - 1]! > 0];
    };
    equal(
      [ends(red!), ends(blue!)],
      [
        [true, true],
        [true, false],
      ],
    );
    ok(
      (await spoken('table')).some(({ name }) => name.startsWith('Histogram of the picture on screen')),
      'its name',
    );
    $detail.set({ box: { x: 0, y: 0, width: 40, height: 40 }, picture: preview(40, 40) });
    await settled(element);
    equal($tones.get()!.colours[0].counts[200], 1600);
    ok(
      (await spoken('table')).some(({ name }) => name.includes('part in view')),
      'of the part in view',
    );
    await clean(element);
  });
});
