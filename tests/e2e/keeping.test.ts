import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { changed, fingerprint, picture, saved, type Visit, visitSmall } from './support.ts';

describe('what stays for the next visit', () => {
  let open: Visit;
  beforeAll(async () => {
    open = await visitSmall();
  });
  afterAll(() => open.close());

  const recipe = () => open.page.getByRole('combobox', { name: 'Recipe' });
  const weight = (name: string) => open.page.getByRole('spinbutton', { name }).getAttribute('aria-valuenow');
  const reload = async () => {
    await open.page.reload();
    await picture(open.page);
  };

  it('is the mix with its named steps, and looks the same', async () => {
    await recipe().selectOption('hoo');
    await expect.poll(() => weight('O in blue')).toBe('1');
    await open.page.getByLabel('Colour of O', { exact: true }).fill('#336699');
    await expect.poll(() => weight('O in blue')).toBe('0.6');
    const before = await fingerprint(open.page);
    await reload();
    expect(await weight('O in blue')).toBe('0.6');
    await expect.poll(() => fingerprint(open.page)).toBe(before);
    await open.page.getByRole('button', { name: 'Undo: colour of O' }).click();
    expect(await recipe().inputValue()).toBe('hoo');
  });

  it('is the library, which saves as ordinary JSON', async () => {
    await open.page.getByRole('textbox', { name: 'Name of the mix' }).fill('Evening & <i>tea</i>');
    await open.page.getByRole('button', { name: 'Keep in my library' }).click();
    await recipe().selectOption('sho');
    await reload();
    const before = await fingerprint(open.page);
    await recipe().selectOption({ label: 'Evening & <i>tea</i>' });
    await changed(open.page, before);
    await open.page.getByRole('combobox', { name: 'As' }).selectOption('recipe');
    const { bytes } = await saved(open.page, 'Save recipe');
    expect(JSON.parse(bytes.toString()).name).toBe('Evening & <i>tea</i>');
    expect(await open.page.locator('lw-app i').count()).toBe(0);
  });

  it('is the wall with its suggestions, and the plan of hours', async () => {
    await open.page.getByRole('button', { name: 'Suggest mixes' }).click();
    const suggested = open.page.locator('lw-wall li[data-id^=suggested]');
    await expect.poll(() => suggested.count()).toBeGreaterThan(2);
    const count = await suggested.count();
    await open.page.getByRole('navigation').getByRole('button', { name: 'Hours' }).click();
    await open.page.getByRole('spinbutton', { name: 'Hours of O so far' }).fill('7.5');
    await open.page.waitForTimeout(700);
    await reload();
    expect(await suggested.count()).toBe(count);
    await open.page.getByText(`${count} suggested`).waitFor();
    const spent = open.page.getByRole('spinbutton', { name: 'Hours of O so far' });
    expect(await spent.getAttribute('aria-valuenow')).toBe('7.5');
    await open.page.keyboard.press('Control+z');
    await expect.poll(() => spent.getAttribute('aria-valuenow')).toBe('5');
    await open.page.getByRole('navigation').getByRole('button', { name: 'Mix' }).click();
  });

  it('is not what someone else wrote there', async () => {
    // The page keeps its last change a moment after it.
    await open.page.waitForTimeout(700);
    await open.page.evaluate(() => {
      localStorage.setItem('linewash.work', '{"version":1,"value":{"steps":[{"value":{"matrix":[[1e999]]}}],"at":0}}');
      localStorage.setItem('linewash.library', '[[[');
    });
    await reload();
    expect(await recipe().inputValue()).toBe('ember');
  });

  it('opens a pasted command, with its knobs', async () => {
    const before = await fingerprint(open.page);
    await open.page.evaluate(() => {
      const clipboardData = new DataTransfer();
      clipboardData.setData('text', 'linewash mix sho S=S.fits H=H.fits O=O.fits -o sho.tif');
      document
        .querySelector('lw-app')!
        .dispatchEvent(new ClipboardEvent('paste', { clipboardData, bubbles: true, composed: true }));
    });
    await changed(open.page, before);
    expect(await recipe().inputValue()).toBe('sho');
  });

  it('saves a FITS cube of floats that carries the recipe', async () => {
    await open.page.getByRole('combobox', { name: 'As' }).selectOption('fits-float');
    const { name, bytes } = await saved(open.page, 'Save picture');
    expect(name).toMatch(/\.fits$/);
    const header = bytes.subarray(0, 2880).toString('latin1');
    expect(header).toMatch(/^SIMPLE {2}=/);
    expect(header).toMatch(/BITPIX {2}= +-32/);
    expect(header).toMatch(/NAXIS3 {2}= +3/);
    expect(bytes.length % 2880).toBe(0);
  });

  it('suggests mixes from the masters, and makes one the mix', async () => {
    await open.page.getByRole('button', { name: 'Suggest mixes' }).click();
    await open.page.getByText('Their reasons and their price').click();
    const list = open.page.getByRole('list', { name: 'Suggestions' });
    await list.waitFor();
    expect(await list.getByRole('listitem').count()).toBeGreaterThanOrEqual(2);
    const before = await fingerprint(open.page);
    await list.getByRole('button').last().click();
    await changed(open.page, before);
    expect(await list.getByRole('button').last().getAttribute('aria-pressed')).toBe('true');
  });

  it('has met no error on the way', () => {
    expect(open.problems).toEqual([]);
  });
});
