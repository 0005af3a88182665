import { sendKeys, sendMouse } from '@web/test-runner-commands';
import '../../playground/elements/number/number.ts';
import type { NumberField } from '../../playground/elements/number/number.ts';
import { equal, ok } from './assert.ts';
import { clean, find, mount, press, settled, spoken } from './support.ts';

describe('lw-number', () => {
  let field: NumberField;
  let changes: number[];
  const input = () => find<HTMLInputElement>(field, 'input');

  beforeEach(async () => {
    field = await mount<NumberField>('lw-number', { value: 0.25, label: 'S in green', min: -2, max: 2 });
    changes = [];
    field.addEventListener('lw-number', (event) => changes.push((event as CustomEvent<number>).detail));
  });

  it('is a spin button with a name, a value and limits', async () => {
    const [button] = await spoken('spinbutton');
    equal([button!.name, button!.value, button!.valuemin, button!.valuemax], ['S in green', 0.25, -2, 2]);
    await clean(field);
  });

  it('takes a typed number as it is typed', async () => {
    input().focus();
    input().select();
    await sendKeys({ type: '-1,5' });
    await settled(field);
    // “-” alone is no number, “-1” and “-1,5” are.
    equal(changes, [-1, -1.5]);
    equal(input().value, '-1,5');
    await press('Tab');
    await settled(field);
    equal(input().value, '−1.50');
  });

  it('shows what has room, and all decimals while it can be changed', async () => {
    const shows = async (value: number, short: string, all: string) => {
      field.value = value;
      input().blur();
      await settled(field);
      equal(input().value, short);
      ok(input().scrollWidth <= input().clientWidth, `${short} is cut off`);
      input().focus();
      await settled(field);
      equal(input().value, all);
    };
    field.style.width = '60px';
    await shows(0.285714, '0.2857', '0.285714');
    await shows(-1.285714, '−1.2857', '−1.28571');
    await shows(0.00123456, '0.00123', '0.00123456');
    equal((await spoken('spinbutton'))[0]!.value, 0.00123456);
    field.style.width = '90px';
    await shows(12345, '12345.00', '12345.00');
    equal(changes, []);
  });

  it('steps with the keys, ten times further with Shift', async () => {
    input().focus();
    for (const key of ['ArrowUp', 'ArrowUp', 'ArrowDown', 'PageUp', 'Shift+ArrowUp']) await press(key);
    equal(changes, [0.26, 0.27, 0.26, 0.36, 0.46]);
  });

  it('stops at its limits', async () => {
    input().focus();
    for (let i = 0; i < 30; i++) await press('Shift+PageUp');
    equal(field.value, 2);
  });

  it('takes fractions and per cent, and all of it is selected after Enter for what comes next', async () => {
    input().focus();
    input().select();
    for (const [typed, value] of [
      ['1/4', 0.25],
      ['50 %', 0.5],
      ['−1/8', -0.125],
    ] as const) {
      await sendKeys({ type: typed });
      await press('Enter');
      await settled(field);
      equal(field.value, value);
      equal(input().selectionEnd! - input().selectionStart!, input().value.length);
    }
  });

  it('says what is wrong with what was typed, and keeps its value', async () => {
    input().focus();
    for (const [typed, fault] of [
      ['1,000.5', 'This could mean two numbers: use a decimal point.'],
      ['abc', 'This is not a number.'],
      ['8/0', 'This is not a number.'],
      ['1/2/3', 'This is not a number.'],
      ['700 %', 'Type a number from −2 to 2.'],
      ['7', 'Type a number from −2 to 2.'],
    ]) {
      input().select();
      await sendKeys({ type: typed! });
      await press('Enter');
      await settled(field);
      equal((await spoken('alert')).length, 1);
      equal(find(field, '.fault').textContent, fault);
      equal((await spoken('spinbutton'))[0]!.invalid, 'true');
      equal(field.value, 0.25);
      await press('Escape');
      await settled(field);
      equal((await spoken('alert')).length, 0);
    }
  });

  it('follows a drag sideways, a step every two pixels', async () => {
    const box = input().getBoundingClientRect();
    const [x, y] = [Math.round(box.x + 10), Math.round(box.y + box.height / 2)];
    await sendMouse({ type: 'move', position: [x, y] });
    await sendMouse({ type: 'down' });
    await sendMouse({ type: 'move', position: [x + 20, y] });
    await sendMouse({ type: 'move', position: [x + 40, y] });
    await sendMouse({ type: 'up' });
    equal(changes, [0.35, 0.45]);
  });

  it('takes a click for typing, with the number selected', async () => {
    const box = input().getBoundingClientRect();
    await sendMouse({ type: 'click', position: [Math.round(box.x + 10), Math.round(box.y + 10)] });
    ok(field.shadowRoot!.activeElement === input(), 'the field has the focus');
    equal([input().selectionStart, input().selectionEnd], [0, 4]);
    equal(changes, []);
  });
});
