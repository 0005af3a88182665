// Makes what is new or out of date of a plan, and nothing else. Ctrl-C stops after the picture in hand.
import { batchFiles } from 'linewash';

const stop = new AbortController();
process.once('SIGINT', () => stop.abort());

const { made, kept, failed, pictures } = await batchFiles({
  plan: {
    targets: [{ folder: 'demo', pattern: '{target}-{line}.fits' }],
    recipes: ['hoo', 'ember'],
    into: 'demo/made',
    outputs: ['{target} {recipe}.tif'],
  },
  signal: stop.signal,
});
console.log(`${made} made, ${kept} up to date, ${failed} failed`);
for (const { output, status, why } of pictures) if (status === 'failed') console.error(output, why);
