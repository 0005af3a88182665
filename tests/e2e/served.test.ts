import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type PageServer, servePage } from '../../lib/node/page/page-server.ts';
import { browserOf, smallMaster } from './support.ts';

describe('the page on masters that the command serves', () => {
  let server: PageServer;
  beforeAll(async () => {
    const master = (name: string, line?: string) => ({ name: `${name}.fits`, line, path: smallMaster(name) });
    // S is given for a line of another name; O says itself what it is.
    server = await servePage(process.env.LINEWASH_PAGE!, [master('S', 'sulphur'), master('H', 'H'), master('O')]);
  });
  afterAll(() => server.close());

  it('opens them with their lines, and asks for nothing that is not served', async () => {
    const context = await (await browserOf()).newContext({ viewport: { width: 1440, height: 900 } });
    const page = await context.newPage();
    const problems: string[] = [];
    page.on('pageerror', (error) => problems.push(error.message));
    page.on('response', (response) => {
      if (!response.ok() && !response.url().endsWith('service-worker.js'))
        problems.push(`${response.status()} ${response.url()}`);
    });
    await page.goto(server.address);
    const choice = (name: string) => page.getByRole('combobox', { name: `Line: ${name}.fits` });
    await choice('O').waitFor();
    const lines = await Promise.all(['S', 'H', 'O'].map((name) => choice(name).inputValue()));
    expect(lines).toEqual(['sulphur', 'H', 'O']);
    expect(await page.getByText('emberwing', { exact: false }).count()).toBe(0);
    // A reload opens the same again.
    await page.reload();
    await choice('H').waitFor();
    expect(await page.locator('lw-line').count()).toBe(3);
    expect(problems).toEqual([]);
    await context.close();
  });
});
