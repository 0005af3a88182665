// What is timed in the browser; each journey gives its figures.
import { median } from '../timing.mjs';
import { longTasks, milestones, now, openPage, processorTime } from './page.mjs';

const FINE = 1600;

const longest = (tasks) => Math.max(0, ...tasks.map(({ took }) => took));

/** From asking for the page to the samples' mix on screen. */
export const loading = async (started, rounds) => {
  const times = [];
  const blocked = [];
  for (let i = 0; i < rounds; i++) {
    const { page, close } = await openPage(started);
    const [picture] = await milestones(page, { name: 'linewash-picture' });
    const painted = await page.evaluate(() => performance.getEntriesByName('first-contentful-paint')[0]?.startTime);
    times.push({ picture: picture.at, painted });
    blocked.push(longest(await longTasks(page)));
    await close();
  }
  return {
    painted: median(times.map(({ painted }) => painted)),
    picture: median(times.map(({ picture }) => picture)),
    blocked: median(blocked),
  };
};

/** From choosing three large masters to their first picture, and to a page that has measured all of them. */
export const dropping = async (started, files, width, rounds) => {
  const times = [];
  for (let i = 0; i < rounds; i++) {
    const { page, close } = await openPage(started);
    await milestones(page, { name: 'linewash-whole' });
    const used = await processorTime(started);
    const began = await now(page);
    await page.setInputFiles('input[type=file]', files);
    const wanted = { width };
    const [first] = await milestones(page, { name: 'linewash-picture', after: began, wanted });
    const processor = (await processorTime(started)) - used;
    const [measured] = await milestones(page, {
      name: 'linewash-measured',
      after: began,
      wanted: { lines: files.length },
    });
    times.push({
      first: first.at - began,
      processor,
      measured: measured.at - began,
      blocked: longest(await longTasks(page, began)),
    });
    await close();
  }
  const of = (key) => median(times.map((time) => time[key]));
  return { first: of('first'), processor: of('processor'), measured: of('measured'), blocked: of('blocked') };
};

const DRAG_MS = 4000;

/** Runs in the page: moves the pointer over the field that holds it, to and fro. */
const dragWithin = ({ x, y, reach, lasting }) =>
  new Promise((resolve) => {
    const deepest = (root) => {
      const found = root.elementFromPoint(x, y);
      return found?.shadowRoot && found !== root.host ? deepest(found.shadowRoot) : found;
    };
    const field = deepest(document);
    const began = performance.now();
    const move = () => {
      const passed = performance.now() - began;
      if (passed > lasting) return resolve();
      const clientX = x + reach * Math.sin(passed / 150);
      field.dispatchEvent(new PointerEvent('pointermove', { clientX, clientY: y, bubbles: true, composed: true }));
      requestAnimationFrame(move);
    };
    move();
  });

/** Drags a weight without rest and counts the full pictures that come of it. */
export const dragging = async (started, files, width) => {
  const { page, close } = await openPage(started);
  await milestones(page, { name: 'linewash-whole' });
  const opened = await now(page);
  await page.setInputFiles('input[type=file]', files);
  await milestones(page, { name: 'linewash-measured', after: opened, wanted: { lines: files.length } });
  await milestones(page, { name: 'linewash-picture', after: opened, wanted: { width, longest: FINE } });
  // What follows the first picture in peace: whether the masters fit, the wall.
  await page.waitForTimeout(3000);
  const box = await page.getByRole('spinbutton', { name: 'H in red' }).boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  const used = await processorTime(started);
  const began = await now(page);
  // Once a frame, as pointers report; from inside the page, for a driver outside would be the slower part.
  await page.evaluate(dragWithin, { x, y, reach: 40, lasting: DRAG_MS });
  const ended = await now(page);
  const processor = (await processorTime(started)) - used;
  await page.mouse.up();
  const marks = await page.evaluate(
    ([from, to]) => globalThis.timeline.marks.filter(({ at }) => at >= from && at <= to),
    [began, ended],
  );
  const mixes = marks.filter(({ name }) => name === 'linewash-picture');
  const blocked = longest(await longTasks(page, began));
  await close();
  const each = (some) => (1000 * some.length) / (ended - began);
  const fine = mixes.filter(({ detail }) => detail.longest === FINE);
  return { all: each(mixes), fine: each(fine), processor: processor / mixes.length, blocked };
};

const WALL = 12;

/** Candidates are mixed when they come into view: on a page as wide as this, twelve of the row at its foot are. */
const WIDE = { width: 2400, height: 1200 };

/** Twelve candidates on the wall while the page loads, counted from the first on. */
export const hanging = async (started, rounds) => {
  const times = [];
  for (let i = 0; i < rounds; i++) {
    const { page, close } = await openPage(started, WIDE);
    const at = async (pictures) => (await milestones(page, { name: 'linewash-wall', wanted: { pictures } }))[0].at;
    const first = await at(1);
    times.push((((await at(WALL)) - first) * WALL) / (WALL - 1));
    await close();
  }
  return median(times);
};

/** What follows a change in peace: fits, histograms, figures. */
const PEACE_MS = 4000;

/**
 * Twelve candidates mixed again on measured masters: from giving a master its line back, which takes down the whole wall,
 * to the twelfth picture drawn. The large picture of the mix is made and drawn among them.
 */
export const hangingAgain = async (started, files, rounds) => {
  const { page, close } = await openPage(started, WIDE);
  await milestones(page, { name: 'linewash-whole' });
  const opened = await now(page);
  await page.setInputFiles('input[type=file]', files);
  await milestones(page, { name: 'linewash-measured', after: opened, wanted: { lines: files.length } });
  const line = page.locator('lw-line select').first();
  const chosen = await line.inputValue();
  const times = [];
  for (let i = 0; i < rounds; i++) {
    await line.selectOption('');
    await page.waitForTimeout(PEACE_MS);
    const after = await now(page);
    await line.selectOption(chosen);
    const [full] = await milestones(page, { name: 'linewash-wall', after, wanted: { pictures: WALL } });
    times.push(full.at - after);
    await page.waitForTimeout(PEACE_MS);
  }
  await close();
  return median(times);
};
