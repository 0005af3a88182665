import { emulateMedia, setViewport } from '@web/test-runner-commands';
import '../../playground/elements/app/app.ts';
import { $masters } from '../../playground/state/masters.ts';
import { $picture } from '../../playground/state/picture.ts';
import { equal, ok } from './assert.ts';
import { master, mount, preview, settled } from './support.ts';

const below = (root: ShadowRoot): Element[] =>
  [...root.querySelectorAll('*')].flatMap((e) => [e, ...(e.shadowRoot ? below(e.shadowRoot) : [])]);

describe('the page on paper', () => {
  afterEach(() => emulateMedia({ media: 'screen' }));

  it('shows the picture and its weights, and no button', async () => {
    await setViewport({ width: 1440, height: 900 });
    $masters.set([master('S'), master('H'), master('O')]);
    $picture.set(preview());
    const app = await mount('lw-app');
    await settled(app);
    const shown = (selector: string) =>
      below(app.shadowRoot!).filter((e) => e.matches(selector) && e.checkVisibility()).length;
    ok(shown('button') > 10, 'there are buttons on screen');
    await emulateMedia({ media: 'print' });
    equal(shown('button'), 0);
    ok(shown('lw-picture') === 1 && shown('lw-weights lw-number, lw-number') >= 9, 'picture and weights');
  });
});
