import { sendMouse } from '@web/test-runner-commands';
import '../../playground/elements/picture/picture.ts';
import type { LitElement } from 'lit';
import { $masters } from '../../playground/state/masters.ts';
import { $busy, $picture } from '../../playground/state/picture.ts';
import { $camera } from '../../playground/state/view.ts';
import { equal, near, ok } from './assert.ts';
import { clean, find, master, mount, names, press, preview, settled, spoken } from './support.ts';

const frame = () => new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve)));

describe('lw-picture', () => {
  let element: LitElement;
  const canvas = () => find<HTMLCanvasElement>(element, 'canvas');
  const view = () => find<HTMLElement>(element, '.view');
  const zoom = () => find(element, 'output').textContent;
  const pixel = (x: number, y: number) => [...canvas().getContext('2d')!.getImageData(x, y, 1, 1).data];

  beforeEach(async () => {
    $picture.set(preview());
    $camera.set(undefined);
    element = await mount('lw-picture');
    await frame();
    await settled(element);
  });

  it('names the picture and says which keys move it', async () => {
    ok((await names('image', 'img'))[0]!.endsWith('60 × 40 pixels'), 'size in the name');
    ok((await names('group'))[0]!.includes('plus and minus zoom'), 'keys in the name of the view');
    const buttons = async () => (await names('button')).map((name) => name.slice(7));
    // The page of these tests is narrow: its tools are out of the way until they are asked for.
    equal(await buttons(), ['Fit', '1:1', 'Zoom out', 'Zoom in', 'Tools']);
    equal((await spoken('button')).at(-1)!.expanded, false);
    await clean(element);
    find<HTMLButtonElement>(element, 'button.tools').click();
    await settled(element);
    equal((await spoken('button'))[4]!.expanded, true);
    equal((await buttons()).slice(5), ['Probe', 'Compare', 'Marks', 'Boxes', 'Shifts', 'Background', 'Hold a colour']);
    await clean(element);
  });

  it('says what to do while no master has a line', async () => {
    $picture.set(undefined);
    $masters.set([master('H', { line: '' })]);
    await settled(element);
    ok(find(element, '.empty').textContent!.includes('Choose under Lines'), 'what to do');
    $masters.set([master('H')]);
    await settled(element);
    equal(find(element, '.empty').textContent, 'No picture yet');
  });

  it('shows the whole picture, centred, in its own colours', () => {
    const { width, height } = canvas();
    equal(pixel(width >> 1, height >> 1), [200, 100, 50, 255]);
    // 60 × 40 in a wider view: as high as the view, empty at both sides.
    near(Number.parseFloat(zoom()!), (100 * height) / 40, 1);
    const side = (width - (60 * height) / 40) / 2;
    if (side > 2) equal(pixel(1, height >> 1), [0, 0, 0, 0]);
  });

  it('zooms and moves by keys', async () => {
    view().focus();
    await press('1');
    await settled(element);
    equal(zoom(), '100 %');
    await press('+');
    await settled(element);
    equal(zoom(), '125 %');
    const before = $camera.get()!;
    await press('ArrowRight');
    ok($camera.get()!.x > before.x, 'the right key looks further right');
    await press('0');
    equal($camera.get(), undefined);
  });

  it('zooms with the wheel about the point under the mouse', async () => {
    const box = view().getBoundingClientRect();
    const at = { clientX: box.x + 100, clientY: box.y + 80 };
    const under = () => {
      const camera = $camera.get()!;
      return [camera.x + (100 - box.width / 2) / camera.scale, camera.y + (80 - box.height / 2) / camera.scale];
    };
    view().dispatchEvent(new WheelEvent('wheel', { deltaY: -1, ...at, cancelable: true }));
    const [x, y] = under();
    view().dispatchEvent(new WheelEvent('wheel', { deltaY: -300, ...at, cancelable: true }));
    near(under()[0]!, x!, 1e-9);
    near(under()[1]!, y!, 1e-9);
  });

  it('moves with the mouse', async () => {
    view().focus();
    await press('1');
    const before = $camera.get()!;
    const box = view().getBoundingClientRect();
    const [x, y] = [Math.round(box.x + box.width / 2), Math.round(box.y + box.height / 2)];
    await sendMouse({ type: 'move', position: [x, y] });
    await sendMouse({ type: 'down' });
    await sendMouse({ type: 'move', position: [x - 10, y - 5] });
    await sendMouse({ type: 'up' });
    near($camera.get()!.x - before.x, 10 * devicePixelRatio, 1e-6);
    near($camera.get()!.y - before.y, 5 * devicePixelRatio, 1e-6);
  });

  it('says that it is mixing', async () => {
    const [picture] = await spoken('image', 'img');
    ok(!picture!.busy, 'nothing is mixed yet');
    $busy.set(true);
    await settled(element);
    ok((await spoken('image', 'img'))[0]!.busy, 'now it is');
    $busy.set(false);
  });

  it('shows nothing once there is no picture, rather than the one before', async () => {
    const canvas = find<HTMLCanvasElement>(element, 'canvas');
    const middle = () => [...canvas.getContext('2d')!.getImageData(canvas.width >> 1, canvas.height >> 1, 1, 1).data];
    equal(middle()[3], 255);
    $picture.set(undefined);
    await settled(element);
    equal(middle(), [0, 0, 0, 0]);
  });
});
