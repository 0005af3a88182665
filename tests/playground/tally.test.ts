import '../../playground/elements/tally/tally.ts';
import { areSubs, droppedFiles } from '../../playground/model/dropped.ts';
import { $messages } from '../../playground/state/messages.ts';
import { $tally } from '../../playground/state/tally.ts';
import { tallied } from '../../playground/story/examples.ts';
import { equal, ok } from './assert.ts';
import { settled } from './support.ts';

describe('the table of subs', () => {
  it('shows each line, copies CSV by line and by night, and is put away', async () => {
    const written: string[] = [];
    const before = navigator.clipboard.writeText;
    navigator.clipboard.writeText = async (text) => {
      written.push(text);
    };
    const element = document.createElement('lw-tally');
    document.body.append(element);
    try {
      const night = { night: '2025-01-20', target: 'Emberwing', line: 'H', subs: 36, hours: 4, lengths: { 400: 36 } };
      $tally.set({ ...tallied, nights: [night] });
      await settled(element as never);
      const root = element.shadowRoot!;
      const rows = [...root.querySelectorAll('tbody tr')].map((row) =>
        [...row.children].map((cell) => cell.textContent?.trim()),
      );
      equal(rows, [
        ['Emberwing', 'H', '36', '4', '2', '36 × 400 s', '2025-01-20 – 2025-01-21'],
        ['O', '50', '5', '3', '20 × 300 s, 30 × 400 s', '2025-01-28 – 2025-02-21'],
        ['(no name)', 'S', '1', '0.1', '0', '1 × 360 s', '–'],
      ]);
      ok(root.textContent?.includes('12 calibration frames, 1 master.'), 'what was left out is said');
      const button = (words: string) =>
        [...root.querySelectorAll('button')].find((one) => one.textContent?.trim() === words)!;
      button('Copy as CSV').click();
      button('Copy night by night').click();
      await settled(element as never);
      equal(
        written.map((text) => text.split('\r\n')[1]),
        ['Emberwing,H,36,4,2,36 × 400,2025-01-20,2025-01-21', '2025-01-20,Emberwing,H,36,4,36 × 400'],
      );
      ok(
        $messages.get().some(({ words }) => words.includes('clipboard')),
        'it says so',
      );
      button('Close').click();
      await new Promise((resolve) => setTimeout(resolve, 50));
      equal($tally.get(), undefined);
    } finally {
      element.remove();
      navigator.clipboard.writeText = before;
    }
  });

  it('comes for more pictures than anybody mixes', async () => {
    const data = new DataTransfer();
    for (let i = 0; i < 31; i++) data.items.add(new File(['x'], `sub-${i}.fits`));
    data.items.add(new File(['x'], 'log.txt'));
    const files = await droppedFiles(data);
    equal(files.length, 32);
    ok(areSubs(files), 'these are subs');
    ok(!areSubs(files.slice(1)), 'and these masters');
  });
});
