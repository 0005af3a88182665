// Two batches over one folder at the same time: both succeed, nothing is lost or mixed.
import { clear, faultsIn, runBatch, statusesOf } from './stage.mjs';

/** `first` chooses how much later than the other one a batch begins. */
export const rivals = async (stage, trials, first = 0) => {
  const faults = [];
  let shared = 0;
  for (let i = 0; i < trials; i++) {
    const into = 'rivals';
    const later = new Promise((resolve) => setTimeout(resolve, ((i + first) % 10) * 30));
    const [a, b] = await Promise.all([runBatch(stage, into), later.then(() => runBatch(stage, into))]);
    for (const ran of [a, b]) if (ran.code !== 0) faults.push(`trial ${i}: exit ${ran.code}: ${ran.out} ${ran.err}`);
    const [one, other] = [statusesOf(a), statusesOf(b)];
    if (one.made + other.made !== stage.pictures) faults.push(`trial ${i}: ${one.made} and ${other.made} made`);
    if (one.made > 0 && other.made > 0) shared++;
    faults.push(...faultsIn(stage, into, { complete: true }));
    clear(stage, into);
  }
  return { trials, shared, faults };
};
