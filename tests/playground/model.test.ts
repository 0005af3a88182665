import { lineIn } from '../../lib/measure/filters.ts';
import { assignLines, guessLine } from '../../playground/model/assign.ts';
import { fitCamera, limit, toPicture, toView, visibleBox, zoomAt } from '../../playground/model/camera.ts';
import { columnsOf, evenRecipe, missingLines, sameMix, usedLines, withWeight } from '../../playground/model/columns.ts';
import { commandLine } from '../../playground/model/command-line.ts';
import { fileStem } from '../../playground/model/file-name.ts';
import { change, redo, startHistory, undo } from '../../playground/model/history.ts';
import { readNumber, showMeasured, showNumber, stepNumber } from '../../playground/model/number.ts';
import { equal, near, ok } from './assert.ts';

describe('numbers', () => {
  it('are read with point or comma, and refused where they could mean two things', () => {
    for (const [typed, value] of [
      ['0.25', 0.25],
      ['0,25', 0.25],
      [' −1.5 ', -1.5],
      ['.5', 0.5],
      ['2.', 2],
      ['0,125', 0.125],
      ['1.250', 1.25],
      ['1,2500', 1.25],
      ['1e-3', 0.001],
    ] as const)
      equal(readNumber(typed), { value });
    for (const typed of ['1,000.5', '1.000,5', '1,2,3', '1,250', '-20,000'])
      equal(readNumber(typed), { fault: 'ambiguous' });
    for (const typed of ['abc', '0x10', '1e999', 'Infinity', '1 000'])
      equal(readNumber(typed), { fault: 'not-a-number' });
    equal(readNumber(' '), { fault: 'empty' });
  });

  it('are shown without losing digits', () => {
    equal(
      [0.25, 1, -0.5, 0.333, 1 / 3, -0].map((v) => showNumber(v)),
      ['0.25', '1.00', '−0.50', '0.333', '0.333333', '0.00'],
    );
    equal([996, 42.8436, 0.000123, -1.5, 1234567, 0].map(showMeasured), [
      '996',
      '42.84',
      '1.23e−4',
      '−1.5',
      '1.23e+6',
      '0',
    ]);
  });

  it('are stepped without dust', () => {
    equal(stepNumber(0.1, 0.01, 20), 0.3);
    equal(stepNumber(0.3, 0.1, -3), 0);
  });
});

describe('lines of masters', () => {
  it('are recognised in header words and file names', () => {
    const spellings: Record<string, string[]> = {
      S: ['SII', 'S II', '[S II]', 'S2', 'Sulphur', 'field_sii_256.fits', 'F673N', 'emberwing-S.fits', 's.fit'],
      H: ['Ha', 'H-alpha', 'Hα', 'H Alpha 3nm', 'field-ha-stack.tif', 'H656', 'M-H.fits'],
      O: ['OIII', 'O III', 'o3', '[O III]', 'field_oiii.fits', 'O.fits'],
      N: ['N II', 'NII', '[N II]'],
      Hb: ['Hb', 'H-beta', 'Hβ'],
      He: ['HeII', 'He II'],
    };
    for (const [line, texts] of Object.entries(spellings)) for (const text of texts) equal(lineIn(text), line, text);
    for (const text of ['luminance', 'stack', 'Ha OIII dual', 'R', '']) equal(lineIn(text), undefined, text);
  });

  it('come from the header before the name, with the reason', () => {
    equal(guessLine({ file: 'sii.fits', filter: 'Ha', filterKeyword: 'FILTER' }), {
      line: 'H',
      reason: { kind: 'header', keyword: 'FILTER', value: 'Ha' },
    });
    equal(guessLine({ file: 'sii.fits', filter: 'pos 3' }).reason, { kind: 'name' });
  });

  it('are given once, and the last one left goes to the last master', () => {
    equal(
      assignLines([{ file: 'ha.fits' }, { file: 'ha2_ha.fits' }]).map(({ line, reason }) => [line, reason.kind]),
      [
        ['H', 'name'],
        ['H', 'together'],
      ],
    );
    const [large, small] = [
      { width: 60, height: 40 },
      { width: 30, height: 20 },
    ];
    equal(
      assignLines([
        { file: 'ha.fits', size: large },
        { file: 'ha2_ha.fits', size: small },
      ]).map(({ line }) => line),
      ['H', ''],
    );
    equal(
      assignLines([{ file: 'ha.fits' }, { file: 'oiii.fits' }, { file: 'third.fits' }]).map(({ line, reason }) => [
        line,
        reason.kind,
      ]),
      [
        ['H', 'name'],
        ['O', 'name'],
        ['S', 'left'],
      ],
    );
    // Of four masters the last may be anything, such as a continuum.
    equal(
      assignLines(['ha', 'oiii', 'heii', 'cont'].map((file) => ({ file }))).map(({ line }) => line),
      ['H', 'O', 'He', ''],
    );
    equal(
      assignLines([{ file: 'ha.fits' }], [{ file: 'ha.fits', line: 'H' }]).map(({ line }) => line),
      [''],
    );
  });
});

describe('weights', () => {
  const recipe = {
    matrix: [
      [0, 1, 0],
      ['share', 0, 1],
      [0, 0, 1],
    ],
    knobs: { share: { value: 0 } },
  };

  it('have a column for every line of recipe and masters', () => {
    equal(columnsOf(recipe, ['H', 'N']), ['S', 'H', 'O', 'N']);
    equal(usedLines(recipe), ['S', 'H', 'O']);
    equal(
      usedLines({
        matrix: [
          [0, 1, 0],
          [0, 0, 1],
          [0, 0, 1],
        ],
      }),
      ['H', 'O'],
    );
    equal(usedLines({ lines: { H: 'red', O: 'teal' } }), ['H', 'O']);
    equal(missingLines(recipe, ['H']), ['S', 'O']);
  });

  it('keep expressions in the other cells', () => {
    equal(withWeight(recipe, undefined, 0, 'S', 0.5).matrix, [
      [0.5, 1, 0],
      ['share', 0, 1],
      [0, 0, 1],
    ]);
  });

  it('make the same mix whatever the recipe is called', () => {
    ok(sameMix({ ...recipe, name: 'a' }, { name: 'b', ...recipe, channels: ['S', 'H', 'O'] }), 'same');
    ok(!sameMix(recipe, withWeight(recipe, undefined, 0, 'S', 0.5)), 'not same');
  });

  it('spread any lines evenly from red to blue', () => {
    equal(evenRecipe(['H', 'He', 'O']).matrix, [
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 1],
    ]);
    equal(evenRecipe(['H', 'O']).matrix, [
      [1, 0],
      [0, 0],
      [0, 1],
    ]);
    equal(evenRecipe(['H']).matrix, [[1], [1], [1]]);
  });
});

describe('history', () => {
  it('goes back and forward, and joins what belongs together', () => {
    let history = startHistory('a');
    history = change(history, { value: 'b', label: 'to b', time: 0 });
    history = change(history, { value: 'c', label: 'drag', key: 'k', time: 5000 });
    history = change(history, { value: 'd', label: 'drag', key: 'k', time: 5100 });
    history = change(history, { value: 'e', label: 'drag', key: 'k', time: 9000 });
    equal(
      history.past.map(({ value }) => value),
      ['a', 'b', 'd'],
    );
    history = undo(undo(history));
    equal([history.present.value, history.future.length], ['b', 2]);
    history = redo(history);
    equal(history.present.value, 'd');
    history = change(history, { value: 'f', label: 'to f', time: 9999 });
    equal(history.future.length, 0);
    equal(undo(startHistory('a')), startHistory('a'));
  });
});

describe('the camera', () => {
  const view = { width: 600, height: 400 };
  const picture = { width: 6000, height: 2000 };

  it('fits the picture and keeps points under points', () => {
    const camera = fitCamera(view, picture);
    equal(camera, { x: 3000, y: 1000, scale: 0.1 });
    const point = { x: 123, y: 45 };
    const zoomed = zoomAt(camera, view, point, 3.7);
    near(toPicture(zoomed, view, point).x, toPicture(camera, view, point).x, 1e-9);
    const back = toView(zoomed, view, toPicture(zoomed, view, point));
    near(back.x, 123, 1e-9);
    near(back.y, 45, 1e-9);
  });

  it('never loses the picture', () => {
    const far = limit({ x: -1e9, y: 1e9, scale: 1e-9 }, view, picture);
    equal([far.x, far.y, far.scale], [0, 2000, 0.025]);
  });

  it('knows the pixels in view', () => {
    equal(visibleBox({ x: 300, y: 200, scale: 1 }, view, picture), { x: 0, y: 0, width: 600, height: 400 });
    equal(visibleBox({ x: 5999.5, y: 1000, scale: 2 }, view, picture), { x: 5849, y: 900, width: 151, height: 200 });
  });
});

describe('names for files and commands', () => {
  it('are safe everywhere', () => {
    equal(fileStem('Copper / teal: "2"'), 'Copper teal 2');
    equal(fileStem('../../etc/passwd'), 'etc passwd');
    equal(fileStem('con'), 'mix con');
    equal(fileStem('  '), 'mix');
    equal(fileStem('a\u202Egnp.exe'), 'a gnp.exe');
  });

  it('survive a shell', () => {
    const masters = [
      { line: 'H', file: "it's $HOME.fits" },
      { line: '', file: 'other.fits' },
    ];
    equal(commandLine('ember', masters, 'My mix'), "linewash mix ember 'H=it'\\''s $HOME.fits' -o 'My mix.tif'");
  });
});
