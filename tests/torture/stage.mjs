// What all trials stand on: the library compiled, masters of small targets, and the hashes of an undisturbed run.
import { spawn } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { compileInto } from './compile.mjs';
import { filesBelow, hashesBelow, isTemporary } from './hashes.mjs';
import { planOver, writeTargets } from './scene.mjs';

/**
 * Prepares a stage in `folder`.
 * @param names targets; @param recipes and @param size of each master in pixels; @param compiledIn of another stage
 */
export const prepareStage = async (
  folder,
  { names = ['Arc', 'Rim'], recipes = ['sho', 'hoo', 'ember'], size = {}, compiledIn = '' } = {},
) => {
  mkdirSync(folder, { recursive: true });
  const built = join(folder, 'compiled');
  if (compiledIn === '') await compileInto(built);
  else symlinkSync(compiledIn, built);
  const main = join(built, 'main.js');
  const compiled = (name) => import(pathToFileURL(join(built, name)));
  const masters = join(folder, 'masters');
  // One nebula, with noise of each target's own: tracing another costs as much as some batches.
  await writeTargets(await compiled('scene.js'), masters, names, { width: 120, height: 80, oneNebula: true, ...size });
  const pictures = names.length * recipes.length;
  const stage = { folder, built, main, masters, recipes, pictures, compiled, reference: {} };
  const done = await runAlone(stage, 'reference');
  if (done.code !== 0) throw new Error(`the undisturbed run failed: ${done.err}`);
  stage.reference = hashesBelow(join(folder, 'reference'));
  if (Object.keys(stage.reference).length !== pictures) throw new Error('the undisturbed run left something out');
  return stage;
};

/** The plan's file for results in a folder of the stage. */
export const planFor = (stage, into, more = {}) => {
  const path = join(stage.folder, `${into.replaceAll('/', '-')}.json`);
  const text = JSON.stringify(planOver(stage.masters, join(stage.folder, into), { recipes: stage.recipes, ...more }));
  // Not written again under the eyes of a run that reads it.
  if (!existsSync(path) || readFileSync(path, 'utf8') !== text) writeFileSync(path, text);
  return path;
};

/** Starts a batch as a process of its own. */
export const startBatch = (stage, into, { words = [], node = [], env = {}, wrap = [] } = {}) => {
  const line = [...wrap, process.execPath, ...node, stage.main, 'batch', planFor(stage, into), '--json', ...words];
  const child = spawn(line[0], line.slice(1), { env: { ...process.env, ...env } });
  const said = { out: '', err: '' };
  child.stdout.on('data', (text) => (said.out += text));
  child.stderr.on('data', (text) => (said.err += text));
  const ended = new Promise((resolve) => child.on('close', (code, signal) => resolve({ code, signal, ...said })));
  return { child, said, ended };
};

export const runBatch = (stage, into, options) => startBatch(stage, into, options).ended;

/** Without threads, where it is what comes out that counts: they take as long to start as the pictures to make. */
export const runAlone = (stage, into) => runBatch(stage, into, { words: ['--parallel', '1'] });

/** The pictures that a run reports, by status. */
export const statusesOf = ({ out }) => {
  const counts = { made: 0, kept: 0, failed: 0, left: 0 };
  for (const line of out.split('\n').filter(Boolean)) {
    const { status } = JSON.parse(line);
    if (status !== undefined) counts[status]++;
  }
  return counts;
};

/** What is wrong with a folder of results: files that differ from the undisturbed ones; orphans, if none may be there. */
export const faultsIn = (stage, into, { complete = false, orphans = complete } = {}) => {
  const folder = join(stage.folder, into);
  const faults = [];
  const hashes = hashesBelow(folder);
  for (const [name, hash] of Object.entries(hashes))
    if (stage.reference[name] !== hash) faults.push(`${into}/${name} is torn or strange`);
  if (complete)
    for (const name of Object.keys(stage.reference)) if (!(name in hashes)) faults.push(`${into}/${name} is missing`);
  if (orphans) for (const name of filesBelow(folder).filter(isTemporary)) faults.push(`${into}/${name} is an orphan`);
  return faults;
};

export const clear = (stage, into) => rmSync(join(stage.folder, into), { recursive: true, force: true });

export const copyMasters = (stage, to) => cpSync(stage.masters, to, { recursive: true });
