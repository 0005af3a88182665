// Runs the tests that need a browser: component tests, then end-to-end tests. Arguments keep the test files whose
// path contains one of them; --counts=FILE writes the counts as JSON. Exit code 0 where all passed, 1 where one failed or none was found.
import { writeFileSync } from 'node:fs';
import chooseSeed from '../tools/seed.mjs';
import ownTemporaryFolder from '../tools/temporary.mjs';
import { findChromium } from './chromium.mjs';
import { componentTests } from './components.mjs';
import { endToEndTests } from './end-to-end.mjs';

const given = process.argv.slice(2);
const countsFile = given.find((word) => word.startsWith('--counts='))?.slice('--counts='.length);
const words = given.filter((word) => !word.startsWith('--'));
const chromium = findChromium();
console.log(`browser: ${chromium.executablePath} (from ${chromium.from})`);

process.once('exit', ownTemporaryFolder());
chooseSeed();
const results = [await componentTests(chromium, words), await endToEndTests(chromium, words)];

console.log('\nbrowser tests');
for (const { kind, passed, failed, skipped } of results)
  console.log(`  ${kind.padEnd(12)} ${passed} passed, ${failed} failed, ${skipped} skipped`);
const ran = results.reduce((sum, { passed, failed }) => sum + passed + failed, 0);
if (ran === 0) console.error(`no browser test ran${words.map((word) => ` “${word}”`)}`);
const sum = (key) => results.reduce((total, result) => total + result[key], 0);
if (countsFile)
  writeFileSync(countsFile, JSON.stringify({ passed: sum('passed'), failed: sum('failed'), skipped: sum('skipped') }));
process.exit(ran > 0 && results.every((result) => result.failed === 0) ? 0 : 1);
