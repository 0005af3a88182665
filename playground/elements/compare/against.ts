import { setAgainstOne, standsAgainst } from '../../state/compare.ts';
import { putBack } from '../../state/tools.ts';
import { take } from '../tools/take.ts';

/** Sets the mix against one other up to the edge of comparing, or ends that where they stand so already. */
export const toggleAgainst = (id: string): void => {
  if (standsAgainst(id).get()) {
    putBack('compare');
    return;
  }
  setAgainstOne(id);
  take('compare');
};
