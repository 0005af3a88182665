import type { FaintView } from '../../lib/web/faint.ts';

/** Two outlines in O, the map green all over. */
export const faintView = (): FaintView => {
  const [width, height] = [60, 40];
  const rectangle = (x: number, y: number, w: number, h: number) => [[x, y, x + w, y, x + w, y + h, x, y + h]];
  const data = new Uint8ClampedArray(4 * width * height);
  for (let i = 0; i < data.length; i += 4) data.set([0, 255, 0, 255], i);
  const area = { contrast: 4, noise: 0.8, z: 5, pixels: 216, around: 400 };
  const hours = [
    { aim: 3, hours: 4.3, least: 2.5, most: 11 },
    { aim: 5, hours: 12, least: 7, most: 31 },
  ];
  return {
    name: 'O',
    width,
    height,
    noise: { level: 100, variance: 9, perCount: 0, neighbours: 0 },
    light: 100,
    hours: 5,
    falseBlobs: 1,
    stars: 7,
    features: [
      {
        x: 29,
        y: 16,
        box: { x: 20, y: 10, width: 18, height: 12 },
        pixels: 216,
        scale: 16,
        ratio: 2.4,
        area,
        hours,
        outline: rectangle(20, 10, 18, 12),
      },
      {
        x: 46,
        y: 30,
        box: { x: 42, y: 26, width: 8, height: 8 },
        pixels: 64,
        scale: 8,
        ratio: 1.2,
        hours: [],
        outline: rectangle(42, 26, 8, 8),
      },
    ],
    scales: [8, 16].map((scale) => ({
      scale,
      u: 4,
      unevenness: 0.1,
      known: scale === 8 ? 0.9 : 0.75,
      bright: 1,
      dark: scale === 8 ? 0 : 4,
      sky: { bright: 1, dark: scale === 8 ? 0 : 4 },
      least: 40 / scale,
    })),
    limits: [
      'from 16 px on, nothing below about 0.35 % of the sky can be decided from one master: uneven flats look the same',
    ],
    picture: { width, height, data, space: 'srgb' },
  };
};
