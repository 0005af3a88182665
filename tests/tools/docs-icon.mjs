// The page's icon: three thin lines that run into one broad wash. Greys only, as on the page.
import sharp from 'sharp';

const SIDE = 64;
/** Middle, upper end and grey of each line. */
const LINES = [
  [20, 26, '#8d8d8d'],
  [32, 12, '#e4e4e4'],
  [44, 19, '#b4b4b4'],
];
/** Where lines begin to widen, and the lower edge of the wash: within the part that every mask of an icon shows. */
const [MIDDLE, BOTTOM] = [32, 50];

/** A line that widens downwards until all of them are one. */
const stroke = ([x, top, grey], i) => {
  const [left, right] = [14 + 12 * i, 26 + 12 * i];
  const curve = (side, to) => `Q${side} ${BOTTOM - 3} ${to}`;
  const down = `V${MIDDLE}${curve(x + 1, `${right} ${BOTTOM}`)}`;
  return `<path fill="${grey}" d="M${x - 1} ${top}H${x + 1}${down}H${left}${curve(x - 1, `${x - 1} ${MIDDLE}`)}Z"/>`;
};

const svg = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${SIDE} ${SIDE}"><title>linewash</title><path fill="#2b2b2b" d="M0 0H${SIDE}V${SIDE}H0Z"/>${LINES.map(stroke).join('')}</svg>\n`;

export const pages = async () => [
  { path: 'playground/icon.svg', content: svg },
  ...(await Promise.all(
    [192, 512].map(async (size) => ({
      path: `playground/icon-${size}.png`,
      content: await sharp(Buffer.from(svg), { density: (72 * size) / SIDE })
        .resize(size, size)
        .png({ palette: true })
        .toBuffer(),
    })),
  )),
];
