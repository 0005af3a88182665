import { fitTogether, type Together } from '../measure/together.ts';
import type { PlaneSource } from '../plane/plane.ts';
import type { Bench } from './bench.ts';
import type { Lines } from './measure-lines.ts';
import { breathe, type CallContext } from './wire/rpc.ts';

/**
 * Whether open masters belong together: filters, copies, registration. Other calls are answered in between, for nobody
 * waits for this one.
 */
export const fitOf = async (bench: Bench, lines: Lines, { signal, progress }: CallContext): Promise<Together> => {
  const channels = [];
  for (const [name, id] of Object.entries(lines))
    channels.push({ name, source: breathing(await bench.get(id).source('undefined', { signal })) });
  return fitTogether(channels, { signal, progress });
};

const breathing = (source: PlaneSource): PlaneSource => ({
  ...source,
  async readRows(y, rows, into) {
    await breathe();
    await source.readRows(y, rows, into);
  },
});
