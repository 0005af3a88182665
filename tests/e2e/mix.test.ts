import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { changed, fingerprint, type Visit, visitSmall } from './support.ts';

describe('changing the mix', () => {
  let open: Visit;
  beforeAll(async () => {
    open = await visitSmall();
  });
  afterAll(() => open.close());

  const cell = (name: string) => open.page.getByRole('spinbutton', { name });
  const value = (name: string) => cell(name).getAttribute('aria-valuenow');
  const look = () => fingerprint(open.page);

  it('follows a typed weight, with point or comma', async () => {
    const before = await look();
    await cell('O in red').fill('0,5');
    await cell('O in red').press('Enter');
    expect(await value('O in red')).toBe('0.5');
    await changed(open.page, before);
  });

  it('follows the arrow keys in steps of a hundredth', async () => {
    const before = await look();
    for (let i = 0; i < 5; i++) await cell('O in red').press('ArrowUp');
    expect(await value('O in red')).toBe('0.55');
    await cell('O in red').press('Shift+ArrowDown');
    expect(await value('O in red')).toBe('0.45');
    await changed(open.page, before);
  });

  it('follows a drag', async () => {
    const before = await look();
    await open.page.locator('h1').click();
    const box = (await cell('S in blue').boundingBox())!;
    await open.page.mouse.move(box.x + 20, box.y + 10);
    await open.page.mouse.down();
    await open.page.mouse.move(box.x + 120, box.y + 10, { steps: 10 });
    await open.page.mouse.up();
    expect(await value('S in blue')).toBe('0.5');
    await changed(open.page, before);
  });

  it('shows the row sums and the colour of each line', async () => {
    expect(await open.page.getByRole('rowheader', { name: 'sum 1.45' }).count()).toBe(1);
    // Red is balanced by 1.45, so H alone is 1/1.45 red: 255/1.45 = 175.9.
    expect(await open.page.getByLabel('Colour of H', { exact: true }).inputValue()).toBe('#b00000');
  });

  it('takes steps back and forward, a drag as one', async () => {
    await open.page.keyboard.press('Control+z');
    expect(await value('S in blue')).toBe('0');
    await open.page.keyboard.press('Control+Shift+z');
    expect(await value('S in blue')).toBe('0.5');
    for (let i = 0; i < 5; i++) await open.page.keyboard.press('Control+z');
    expect(await open.page.getByRole('combobox', { name: 'Recipe' }).inputValue()).toBe('ember');
    expect(await open.page.getByRole('button', { name: 'Undo' }).isDisabled()).toBe(true);
  });

  it('changes with a recipe from the list', async () => {
    const before = await look();
    await open.page.getByRole('combobox', { name: 'Recipe' }).selectOption('sho');
    await changed(open.page, before);
    expect(await value('S in red')).toBe('1');
  });

  it('changes with a recipe from the wall, by mouse and by keyboard', async () => {
    const wall = open.page.locator('lw-wall');
    let before = await look();
    await wall.getByRole('button', { name: /^HSO/ }).click();
    await changed(open.page, before);
    expect(await wall.getByRole('button', { name: /^HSO/ }).getAttribute('aria-pressed')).toBe('true');
    before = await look();
    await wall.getByRole('button', { name: /^Gilt/ }).focus();
    await open.page.keyboard.press('Enter');
    await changed(open.page, before);
    expect(await open.page.getByRole('combobox', { name: 'Recipe' }).inputValue()).toBe('gilt');
  });

  it('refuses what could be misread', async () => {
    const before = await value('H in red');
    await cell('H in red').fill('1,000.5');
    await cell('H in red').press('Enter');
    expect(await open.page.getByRole('alert').filter({ hasText: 'could mean two numbers' }).count()).toBe(1);
    expect(await value('H in red')).toBe(before);
    await cell('H in red').press('Escape');
  });

  it('follows the colour of a line, chosen or written, and its column with it', async () => {
    await open.page.getByRole('combobox', { name: 'Recipe' }).selectOption('hoo');
    await expect.poll(() => value('O in blue')).toBe('1');
    const before = await look();
    await open.page.getByLabel('Colour of O', { exact: true }).fill('#336699');
    // Display values are mixed, so the weights are the code over 255: 0x33 = 51, 0x66 = 102, 0x99 = 153.
    await expect.poll(() => value('O in blue')).toBe('0.6');
    expect([await value('O in red'), await value('O in green')]).toEqual(['0.2', '0.4']);
    await changed(open.page, before);
    const written = open.page.getByRole('textbox', { name: 'Colour of O, written' });
    await written.fill('rgb(100% 80% 0%)');
    await written.press('Enter');
    await expect.poll(() => value('O in red')).toBe('1');
    expect([await value('O in green'), await value('O in blue')]).toEqual(['0.8', '0']);
    await written.fill('no colour');
    await written.press('Enter');
    await open.page.getByRole('alert').filter({ hasText: 'is not a CSS colour' }).waitFor();
    expect(await value('O in red')).toBe('1');
    await written.press('Escape');
    await open.page.getByRole('button', { name: 'Undo: colour of O' }).click();
  });

  it('has met no error on the way', () => {
    expect(open.problems).toEqual([]);
  });
});
