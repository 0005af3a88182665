import type { KeyAct } from '../../model/keys.ts';
import { $alone, stepAlone } from '../../state/alone.ts';
import { $keysShown } from '../../state/keys.ts';
import { toggleAllPanels } from '../../state/panels.ts';
import { stepRemoved } from '../../state/smooth.ts';
import { $starsShown } from '../../state/stars.ts';
import { $tools, putBack, type Tool } from '../../state/tools.ts';
import { take } from '../tools/take.ts';

const toggleTool = (tool: Tool): void => ($tools.get().includes(tool) ? putBack(tool) : take(tool));

const ACTS: Readonly<Record<KeyAct, () => void>> = {
  keys: () => $keysShown.set(!$keysShown.get()),
  panels: toggleAllPanels,
  nextLine: () => stepAlone(1),
  previousLine: () => stepAlone(-1),
  removed: stepRemoved,
  mix: () => $alone.set(undefined),
  stars: () => $starsShown.set(!$starsShown.get()),
  probe: () => toggleTool('probe'),
  compare: () => toggleTool('compare'),
};

/** Does what a key of the page stands for. */
export const actByKey = (act: KeyAct): void => ACTS[act]();
