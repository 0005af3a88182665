// npm run parity [-- COUNT [FIRST]]: draws recipes, masters and forms of pictures, from the seed FIRST on, and compares
// every written picture with a recomputation of its own. A failing draw is printed with its seed, as small as it still fails.
import { moduleLoader } from '../tools/modules.mjs';

const count = Number(process.argv[2] ?? 20_000);
const first = Number(process.argv[3] ?? 1);
if (!Number.isInteger(count) || !Number.isInteger(first) || count < 1) {
  console.error('parity: two whole numbers are expected: how many draws, and the first seed');
  process.exit(2);
}

const modules = await moduleLoader();
const { runSeries } = await modules.load('/tests/parity/draws/series.ts');
let done = 0;
const { compared, failures } = await runSeries(first, count, (seed, failure) => {
  if (failure !== undefined) console.log(`${failure}\n`);
  if (++done % 1000 === 0) console.log(`${done} draws, up to seed ${seed}`);
});
await modules.close();
console.log(`${count} draws from seed ${first}: ${compared} pictures compared, ${failures.length} failed`);
process.exit(failures.length === 0 && compared > 0 ? 0 : 1);
