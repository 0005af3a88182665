import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { inTurn, someOf } from '../cases.ts';
import { changed, drop, fingerprint, picture, saved, smallMaster, type Visit, visitSmall } from './support.ts';

describe('handing a recipe on', () => {
  let open: Visit;
  let folder: string;
  let link: string;
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'linewash-hand-'));
    open = await visitSmall({ permissions: ['clipboard-read', 'clipboard-write'] });
    await open.page.getByRole('spinbutton', { name: 'O in red' }).fill('0.4');
  });
  afterAll(async () => {
    await open.close();
    rmSync(folder, { recursive: true });
  });
  const clipboard = () => open.page.evaluate(() => navigator.clipboard.readText());
  const value = (visit: Visit, name: string) =>
    visit.page.getByRole('spinbutton', { name }).getAttribute('aria-valuenow');

  it('copies a link that holds it in the fragment', async () => {
    await open.page.getByRole('button', { name: 'Copy link' }).click();
    await open.page.getByText('The link to this recipe is copied').waitFor();
    link = await clipboard();
    expect(link.split('#')[0]).toBe(open.page.url());
    expect(link).toContain('#recipe=1.');
  });

  it('copies the command that makes the same picture', async () => {
    await open.page.getByRole('button', { name: 'Copy command' }).click();
    await open.page.getByText('The command that makes this picture is copied').waitFor();
    const masters = ['S', 'H', 'O'].map((line) => `${line}=emberwing-${line}.fits`).join(' ');
    expect(await clipboard()).toBe(`linewash mix '${link.slice(link.indexOf('#'))}' ${masters} -o Ember.tif`);
  });

  it('opens a linked recipe as a step, in a fresh profile and in an open tab', async () => {
    const fragment = link.slice(link.indexOf('#'));
    const other = await visitSmall({}, fragment);
    await expect.poll(() => value(other, 'O in red')).toBe('0.4');
    expect(other.page.url()).not.toContain('#');
    const linked = await fingerprint(other.page);
    await other.page.getByRole('button', { name: 'Undo: recipe Ember' }).click();
    await changed(other.page, linked);
    expect(await value(other, 'O in red')).toBe('0');
    await other.page.evaluate((hash) => {
      location.hash = hash;
    }, fragment);
    // Notes leave by themselves: of the one at the opening, a slow machine sees nothing.
    await other.page.getByText('The link holds the recipe Ember').waitFor();
    await expect.poll(() => value(other, 'O in red')).toBe('0.4');
    expect(await fingerprint(other.page)).toBe(linked);
    expect(other.problems).toEqual([]);
    await other.close();
  });

  it('says what is wrong with a damaged link', async () => {
    const fragment = link.slice(link.indexOf('#'));
    const other = await visitSmall({}, `${fragment.slice(0, -6)}AAAAAA`);
    await other.page.locator('lw-messages').getByRole('alert').getByText('the link').waitFor();
    await other.close();
  });

  it.each(someOf(['png-8', 'tiff-16', 'jpeg'], 1))('takes it back from a saved picture (%s)', async (kind) => {
    await open.page.getByRole('combobox', { name: 'As' }).selectOption(kind);
    const { name, bytes } = await saved(open.page, 'Save picture');
    const path = join(folder, name);
    writeFileSync(path, bytes);
    const before = await fingerprint(open.page);
    await open.page.getByRole('combobox', { name: 'Recipe' }).selectOption('sho');
    await changed(open.page, before);
    await drop(open.page, [path]);
    await open.page.getByText('recipe Ember opened').waitFor();
    await expect.poll(() => fingerprint(open.page)).toBe(before);
    expect(await value(open, 'O in red')).toBe('0.4');
    expect(open.problems).toEqual([]);
  });

  it('shows words from outside as words', async () => {
    const name = '<img src=x onerror="document.title=1"><script>document.title=2</script>';
    const path = join(folder, 'planted.json');
    writeFileSync(
      path,
      JSON.stringify({
        name,
        about: name,
        matrix: [
          [0, 0, 1],
          [0, 1, 0],
          [1, 0, 0],
        ],
      }),
    );
    await drop(open.page, [path]);
    await open.page.getByText(`recipe ${name} opened`).waitFor();
    expect(await open.page.title()).toContain('linewash');
    expect(await open.page.locator('img, lw-app script').count()).toBe(0);
    expect(open.problems).toEqual([]);
  });

  it('points at the faults of a recipe', async () => {
    const path = join(folder, 'faulty.json');
    writeFileSync(path, '{ "matrix": [[0, 0, 1], [0, 1], [1, 0, 0]] }');
    await drop(open.page, [path]);
    await open.page
      .locator('lw-messages')
      .getByRole('alert')
      .getByText('faulty.json: matrix, entry 2: 2 weights for 3')
      .waitFor();
  });
});

describe('the keyboard alone', () => {
  it('does the main job: choose a recipe, change a weight, save', async () => {
    const open = await visitSmall();
    const { page } = open;
    /** Tabs on until the focus has this name, and is such an element. */
    const reach = async (name: string, tag = '') => {
      for (let i = 0; i < 80; i++) {
        await page.keyboard.press('Tab');
        const found = await page.evaluate(
          ([wanted, kind]) => {
            let at: Element | null = document.activeElement;
            while (at?.shadowRoot?.activeElement) at = at.shadowRoot.activeElement;
            const label = at?.getAttribute('aria-label') ?? at?.closest('label')?.textContent ?? at?.textContent ?? '';
            return label.includes(wanted!) && (at?.tagName ?? '').includes(kind!);
          },
          [name, tag],
        );
        if (found) return;
      }
      throw new Error(`${name} cannot be reached with the keyboard`);
    };
    const before = await fingerprint(page);
    await reach('Recipe', 'SELECT');
    await page.keyboard.press('ArrowDown');
    await changed(page, before);
    const second = await fingerprint(page);
    await reach('O in red');
    await page.keyboard.press('Shift+PageUp');
    await changed(page, second);
    await reach('Save picture');
    const waiting = page.waitForEvent('download');
    await page.keyboard.press('Enter');
    expect((await waiting).suggestedFilename()).toMatch(/\.tif$/);
    expect(open.problems).toEqual([]);
    await open.close();
  });
});

describe.skipIf(!inTurn('two'))('two masters instead of three', () => {
  it('bring a recipe that fits them, and a step back the other', async () => {
    const open = await visitSmall();
    await drop(open.page, ['H', 'O'].map(smallMaster));
    await open.page.getByText('There is no master for S').waitFor();
    await picture(open.page);
    const wall = open.page.locator('lw-wall').getByRole('button', { disabled: false });
    await expect.poll(() => wall.count()).toBeGreaterThan(0);
    expect(await open.page.getByText('needs S').count()).toBeGreaterThan(2);
    await open.page.getByRole('button', { name: 'Undo: recipe for these masters' }).click();
    expect(await open.page.getByRole('combobox', { name: 'Recipe' }).inputValue()).toBe('ember');
    await open.page.getByText('This mix needs S, and no master stands for it.').waitFor();
    expect(open.problems).toEqual([]);
    await open.close();
  });
});

describe.skipIf(!inTurn('breaks'))('a worker that breaks down', () => {
  it('is started again with everything as it was', async () => {
    const open = await visitSmall();
    const before = await fingerprint(open.page);
    const [worker] = open.page.workers();
    await worker!.evaluate(() => {
      setTimeout(() => {
        throw new Error('planted');
      });
    });
    await open.page.getByText('The worker stopped and was started again').waitFor();
    await open.page.getByRole('combobox', { name: 'Recipe' }).selectOption('sho');
    await changed(open.page, before);
    await open.page.getByRole('combobox', { name: 'Recipe' }).selectOption('ember');
    await expect.poll(() => fingerprint(open.page)).toBe(before);
    await open.close();
  });
});
