import './elements/app/app.ts';
import { openFiles } from './state/files.ts';
import { openLaunched } from './state/launched.ts';
import { openLibrary } from './state/library.ts';
import { openLinked } from './state/link.ts';
import { noteMilestones } from './state/milestones.ts';
import { preload } from './state/preload.ts';
import { openSamples } from './state/samples.ts';
import { restoreWork } from './state/work.ts';

// A link stands above what was kept: it comes as a step on it.
const restored = restoreWork();
const openFirst = () =>
  location.hash === '#masters' ? import('./state/served.ts').then(({ openServed }) => openServed()) : openSamples();
void restored.then(openFirst);
void restored.then(openLinked);
void restored.then(openLaunched);
addEventListener('hashchange', () => void openLinked());
void openLibrary();
preload();
noteMilestones();

/** Text that is pasted into a field belongs to the field; anything else may be a recipe, a link, a command or files. */
addEventListener('paste', (event) => {
  if (event.composedPath().some((target) => target instanceof HTMLInputElement)) return;
  const files = [...(event.clipboardData?.files ?? [])];
  if (files.length > 0) return void openFiles(files);
  const pasted = event.clipboardData?.getData('text') ?? '';
  if (pasted.trim() !== '') void import('./state/pasting.ts').then(({ pasteText }) => pasteText(pasted));
});
