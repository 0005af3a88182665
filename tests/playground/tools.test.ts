import '../../playground/elements/picture/picture.ts';
import type { LitElement } from 'lit';
import { $eyes, chooseEyes } from '../../playground/state/eyes.ts';
import { $picture } from '../../playground/state/picture.ts';
import { $tools } from '../../playground/state/tools.ts';
import { $camera } from '../../playground/state/view.ts';
import { equal, near, ok } from './assert.ts';
import { clean, find, mount, names, preview, settled, spoken } from './support.ts';

const frame = () => new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve)));

describe('lw-tools', () => {
  let element: LitElement;
  beforeEach(async () => {
    $picture.set(preview());
    $camera.set(undefined);
    $tools.set([]);
    element = await mount('lw-picture');
    await frame();
    find<HTMLButtonElement>(element, 'button.tools').click();
    await settled(element);
  });
  afterEach(async () => {
    $tools.set([]);
    await chooseEyes('all');
  });

  it('takes tools and puts them back', async () => {
    const pressed = async () => (await spoken('button')).filter((b) => b.pressed === 'true').map((b) => b.name.trim());
    const button = (n: number) => find(element, 'lw-tools').shadowRoot!.querySelectorAll('button')[n]!;
    button(2).click();
    await customElements.whenDefined('lw-marks');
    button(1).click();
    await customElements.whenDefined('lw-compare');
    await settled(element);
    // In their own order, whichever was taken first.
    equal($tools.get(), ['compare', 'marks']);
    equal(await pressed(), ['Compare', 'Marks']);
    ok((await names('region')).length >= 2, 'each has a strip with a name');
    await clean(element);
    button(1).click();
    await settled(element);
    equal(await pressed(), ['Marks']);
  });

  it('shows the picture through other eyes', async () => {
    const [choice] = await spoken('combobox');
    equal([choice!.name, choice!.value], ['Seen by', 'full colour vision']);
    const select = find<HTMLSelectElement>(element, 'lw-tools', 'select');
    select.value = 'deutan';
    select.dispatchEvent(new Event('change'));
    while ($eyes.get() !== 'deutan') await frame();
    await frame();
    await new Promise((resolve) => setTimeout(resolve, 300));
    await settled(element);
    const canvas = find<HTMLCanvasElement>(element, 'canvas');
    const pixel = canvas.getContext('2d')!.getImageData(canvas.width >> 1, canvas.height >> 1, 1, 1).data;
    // Machado, Oliveira, Fernandes 2009 on the linear light of (200, 100, 50), computed here once more.
    const decode = (v: number) => (v / 255 <= 0.04045 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4);
    const encode = (v: number) => 255 * (v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055);
    const [r, g, b] = [200, 100, 50].map(decode) as [number, number, number];
    const rows = [
      [0.367322, 0.860646, -0.227968],
      [0.280085, 0.672501, 0.047413],
      [-0.01182, 0.04294, 0.968881],
    ] as const;
    for (const [band, [x, y, z]] of rows.entries()) near(pixel[band]!, encode(x * r + y * g + z * b), 1);
  });
});
