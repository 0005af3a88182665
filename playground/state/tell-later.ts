import { onNotify } from 'nanostores';
import { sharesAfter } from '../../lib/hours/noise-shares.ts';
import { $answer } from './hours.ts';
import { $later } from './later.ts';

// The planned hours, for the picture after them; what was planned for other masters is forgotten.
onNotify($answer, () => {
  const { plan, exposures = [] } = $answer.get() ?? {};
  const allocation = plan?.advice.allocation;
  if (allocation === undefined) return;
  $later.set({ hours: allocation.clock, shares: sharesAfter(allocation.shares, exposures) });
});
