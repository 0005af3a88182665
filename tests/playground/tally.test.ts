import '../../playground/elements/tally/tally.ts';
import { droppedFiles, tooFewForSubs } from '../../playground/model/dropped.ts';
import { countIfSubs, countSubs } from '../../playground/state/counting.ts';
import { useEngine } from '../../playground/state/engine.ts';
import { $messages } from '../../playground/state/messages.ts';
import { $tally } from '../../playground/state/tally.ts';
import { tallied } from '../../playground/story/examples.ts';
import { equal, ok } from './assert.ts';
import { clean, mount, settled, until } from './support.ts';

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

  it('lets a line be chosen for a filter whose name says none, and counts anew', async () => {
    const asked: unknown[] = [];
    const unnamed = ['1', '2', '1'].map((filter, i) => ({ file: `sub-${i}.fits`, filter }));
    const tally = (filters: Readonly<Record<string, string>>) => ({
      ...tallied,
      unnamed: unnamed.filter(({ filter }) => filters[filter] === undefined),
    });
    useEngine({
      async call(_: string, question: { filters: Readonly<Record<string, string>> }) {
        asked.push(question.filters);
        return tally(question.filters) as never;
      },
      fail() {},
    } as never);
    await countSubs([]);
    const element = await mount('lw-tally');
    const selects = () => [...element.shadowRoot!.querySelectorAll('select')];
    equal(
      selects().map((one) => one.closest('label')!.firstChild!.nextSibling!.textContent),
      ['“1”, 2 subs', '“2”, 1 sub'],
    );
    await clean(element);
    selects()[0]!.value = 'S';
    selects()[0]!.dispatchEvent(new Event('change'));
    await until(() => $tally.get()?.unnamed.length === 1);
    await settled(element);
    equal(
      [asked, selects().map(({ value }) => value)],
      [
        [{}, { 1: 'S' }],
        ['S', ''],
      ],
    );
    selects()[0]!.value = '';
    selects()[0]!.dispatchEvent(new Event('change'));
    await until(() => $tally.get()?.unnamed.length === 3);
    equal(asked.length, 3);
    $tally.set(undefined);
  });

  it('comes where headers show subs, and not for masters, however many there are', async () => {
    const data = new DataTransfer();
    for (let i = 0; i < 40; i++) data.items.add(new File(['x'], `picture-${i}.fits`));
    data.items.add(new File(['x'], 'log.txt'));
    const files = await droppedFiles(data);
    equal(files.length, 41);
    ok(tooFewForSubs(files.slice(37)), 'three pictures and a log are no row of subs');
    ok(!tooFewForSubs(files), 'forty may be');
    const one = tallied.targets[0]!.lines[0]!;
    const masters = [...'ABCDEFGHIJKLMN'].map((target) => ({
      target,
      lines: ['H', 'O', 'S'].map((line) => ({ ...one, line, subs: 1, lengths: { 400: 1 } })),
    }));
    const subs = [{ target: 'A', lines: [{ ...one, subs: 6, lengths: { 400: 6 } }] }];
    for (const [targets, unnamed, expected] of [
      [masters, [], false],
      [subs, [], true],
      [[], files.slice(0, 8).map(({ path }) => ({ file: path, filter: '3' })), true],
    ] as const) {
      const found = { ...tallied, targets, unnamed, left: { calibration: 2, masters: 1 } };
      $tally.set(undefined);
      useEngine({ call: async () => found as never, fail() {} } as never);
      equal(await countIfSubs(files), expected);
      equal($tally.get() !== undefined, expected);
    }
    useEngine({ call: () => Promise.reject(new Error('unreadable')), fail() {} } as never);
    equal(await countIfSubs(files), false);
    $tally.set(undefined);
  });
});
