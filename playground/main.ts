import './elements/app/app.ts';
import { openFiles } from './state/files.ts';
import { openLibrary } from './state/library.ts';
import { offerLinked } from './state/link.ts';
import { noteMilestones } from './state/milestones.ts';
import { loadRest } from './state/rest.ts';
import { openSamples } from './state/samples.ts';
import { restoreWork } from './state/work.ts';

void restoreWork().then(openSamples);
void openLibrary();
void offerLinked();
loadRest();
noteMilestones();

/** Text that is pasted into a field belongs to the field; anything else may be a recipe, a link, a command or files. */
addEventListener('paste', (event) => {
  if (event.composedPath().some((target) => target instanceof HTMLInputElement)) return;
  const files = [...(event.clipboardData?.files ?? [])];
  if (files.length > 0) return void openFiles(files);
  const pasted = event.clipboardData?.getData('text') ?? '';
  if (pasted.trim() !== '') void import('./state/pasting.ts').then(({ pasteText }) => pasteText(pasted));
});
