"""Writes TIFF files with writers that are not ours (tifffile, libtiff's tiffcp), and what must be read from them.

    make_fixtures.py DIR           every file that the tools at hand can write
    make_fixtures.py DIR --small   the few that are kept beside the tests

DIR/manifest.json: {"values": {ID: [type, base64]}, "files": [{name, width, height, values: ID, page?, plane?}]}
with values little-endian, top row first, NaN where undefined, as the smallest of the types that holds them exactly.
The values are the arrays that were written, turned by numpy where a tag asks for it; nothing is read back.
"""
import base64
import json
import os
import shutil
import subprocess
import sys

import numpy as np
import tifffile

FOLDER = sys.argv[1]
SMALL = '--small' in sys.argv
os.makedirs(FOLDER, exist_ok=True)
values, files = {}, []
TYPES = ['u1', 'i1', 'u2', 'i2', 'u4', 'i4', 'f4', 'f8']


def scene(dtype, width=21, height=17):
    """A ramp with noise over the whole range of the type, its extremes, and for floats what is no number."""
    random = np.random.default_rng(20250101)
    ramp = np.add.outer(np.arange(height) * 3.0, np.arange(width)) / (3 * height + width)
    noisy = np.clip(ramp * 0.9 + random.normal(0.05, 0.02, (height, width)), 0, 1)
    kind = np.dtype(dtype)
    if kind.kind == 'f':
        picture = ((noisy - 0.3) * 100).astype(kind)
        picture[0, :4] = [0, np.inf, -np.inf, np.nan]
        picture[2, 2] = np.finfo(kind).tiny / 2
        return picture
    low, high = np.iinfo(kind).min, np.iinfo(kind).max
    if kind.itemsize == 8:  # what a float64 holds exactly
        low, high = max(low, -(2**53)), 2**53
    picture = (low + noisy * (float(high) - float(low))).astype(kind)
    picture[0, :4] = [low, high, 0, 1]
    return picture


def expect(name, picture, key=None, **more):
    """Notes that `name` holds `picture`; equal pictures share their values."""
    picture = np.asarray(picture).astype('f8')
    with np.errstate(all='ignore'):
        exact = (t for t in TYPES if np.array_equal(picture.astype(t).astype('f8'), picture, equal_nan=t[0] == 'f'))
        kind = next(exact)
    data = [kind, base64.b64encode(picture.astype(f'<{kind}').tobytes()).decode()]
    key = next((k for k, v in values.items() if v == data), None) or key or f'v{len(values)}'
    values[key] = data
    files.append({'name': name, 'width': picture.shape[1], 'height': picture.shape[0], 'values': key, **more})


def write(name, picture, **options):
    if options.get('photometric') is None and np.ndim(picture) == 2:
        options['photometric'] = 'minisblack'
    tifffile.imwrite(os.path.join(FOLDER, name), picture, metadata=None, **options)


def swapped(picture, order):
    return picture.astype(picture.dtype.newbyteorder(order))


LAYOUTS = {
    'plain': {},
    'rows5': {'rowsperstrip': 5},
    'tiles': {'tile': (16, 32)},
    'zip': {'compression': 'zlib', 'rowsperstrip': 7},
    'zip2': {'compression': 'zlib', 'predictor': 2, 'rowsperstrip': 6},
    'big': {'bigtiff': True, 'compression': 'zlib', 'tile': (16, 16)},
}
SMALL_PLAIN = {'u8-be-zip2', 'u1-le-zip2', 'u2-be-zip2', 'i2-be-rows5', 'u4-le-tiles', 'i4-le-zip2', 'i1-le-plain', 'i8-be-plain',
               'f2-le-zip', 'f4-be-tiles', 'f4-le-big', 'f8-be-zip', 'u2-be-rows5'}


def by_type():
    for dtype in ['u1', 'i1', 'u2', 'i2', 'u4', 'i4', 'u8', 'i8', 'f2', 'f4', 'f8']:
        picture = scene(dtype)
        for order, prefix in [('<', 'le'), ('>', 'be')]:
            for layout, options in LAYOUTS.items():
                name = f'{dtype}-{prefix}-{layout}'
                if SMALL and name not in SMALL_PLAIN:
                    continue
                if layout == 'zip2' and dtype[0] == 'f':
                    continue
                write(f'{name}.tif', swapped(picture, order), byteorder=order, **options)
                expect(f'{name}.tif', picture, dtype)


def tiffcp(source, target, *options):
    paths = [os.path.join(FOLDER, name) for name in (source, target)]
    return subprocess.run(['tiffcp', *options, *paths], stderr=subprocess.DEVNULL).returncode == 0


CODINGS = {
    'lzw': ['-c', 'lzw'],
    'lzw2': ['-c', 'lzw:2', '-r', '9'],
    'lzw2-tiles': ['-c', 'lzw:2', '-t', '-w', '32', '-l', '48'],
    'zip': ['-c', 'zip', '-r', '1'],
    'zip2': ['-c', 'zip:2', '-r', '11'],
    'packbits': ['-c', 'packbits', '-r', '13'],
    'one-strip-lzw': ['-c', 'lzw', '-r', '10000'],
    'zstd': ['-c', 'zstd:p1', '-r', '13'],
    'zstd2': ['-c', 'zstd:2:p19', '-r', '11'],
    'zstd2-tiles': ['-c', 'zstd:2', '-t', '-w', '48', '-l', '32'],
    'one-strip-zstd': ['-c', 'zstd:p9', '-r', '10000'],
    'none-tiles-big': ['-8', '-t', '-w', '48', '-l', '16'],
}
FLOAT_CODINGS = {
    'lzw3': ['-c', 'lzw:3', '-r', '9'],
    'zip3': ['-c', 'zip:3', '-r', '7'],
    'zip3-tiles': ['-c', 'zip:3', '-t', '-w', '32', '-l', '32'],
    'zstd3': ['-c', 'zstd:3:p22', '-r', '7'],
    'zstd3-tiles': ['-c', 'zstd:3', '-t', '-w', '32', '-l', '32'],
}
SMALL_CODED = {'u2-B-lzw2', 'u1-L-one-strip-lzw', 'f4-B-zip3', 'f4-L-lzw3', 'u2-L-packbits', 'u1-L-one-strip-zstd',
               'u2-B-zstd2', 'f4-B-zstd3', 'u2-L-zstd2-tiles'}


def by_tiffcp():
    """Pictures large enough that LZW reaches 12-bit codes and starts its table anew."""
    for dtype in ['u1', 'u2', 'i4', 'f2', 'f4', 'f8']:
        source = f'source-{dtype}.tif'
        size = (96, 70) if SMALL and dtype == 'u1' else (21, 17) if SMALL else (131, 77)
        picture = scene(dtype, *size)
        write(source, picture)
        codings = {**CODINGS, **(FLOAT_CODINGS if dtype[0] == 'f' else {})}
        for order in ['-L', '-B']:
            for coding, options in codings.items():
                name = f'{dtype}{order}-{coding}'
                if SMALL and name not in SMALL_CODED:
                    continue
                if dtype == 'f2' and order == '-B' and '3' in coding:
                    continue  # refused: tests/formats/tiff/guards.test.ts
                if tiffcp(source, f'{name}.tif', order, *options):
                    expect(f'{name}.tif', picture, f'{dtype}-{size[0]}')
        os.remove(os.path.join(FOLDER, source))


def by_tag():
    picture = scene('u2')
    turned = {1: picture, 2: picture[:, ::-1], 3: picture[::-1, ::-1], 4: picture[::-1]}
    for orientation, upright in turned.items():
        for layout in ['plain'] if SMALL else ['plain', 'tiles', 'zip']:
            if SMALL and orientation != 3:
                continue
            name = f'orientation{orientation}-{layout}.tif'
            write(name, picture, extratags=[(274, 'H', 1, orientation, True)], **LAYOUTS[layout])
            expect(name, upright)
    for dtype in ['u2'] if SMALL else ['u1', 'u2', 'u4']:
        dark = scene(dtype)
        write(f'white-is-zero-{dtype}.tif', dark, photometric='miniswhite')
        expect(f'white-is-zero-{dtype}.tif', float(np.iinfo(dtype).max) - dark.astype('f8'))
    for dtype, marker in [('f4', '-9999'), ('f4', '-3.4028234663852886e+38'), ('i2', '-32768'), ('u2', '1'), ('f8', '0.1')]:
        marked = scene(dtype)
        marked[5:8, 3:9] = np.array(float(marker)).astype(dtype)
        name = f'nodata-{dtype}{marker}.tif'
        write(name, marked, extratags=[(42113, 's', 0, marker, True)])
        expect(name, np.where(marked == np.array(float(marker)).astype(dtype), np.nan, marked.astype('f8')))


def by_planes():
    planes = np.stack([scene('u2'), scene('u2')[::-1], scene('u2')[:, ::-1]])
    for layout in ['plain'] if SMALL else ['plain', 'rows5', 'tiles', 'zip', 'zip2']:
        write(f'planar-{layout}.tif', planes, photometric='rgb', planarconfig='separate', **LAYOUTS[layout])
        chunky = np.ascontiguousarray(np.moveaxis(planes, 0, -1))
        write(f'chunky-{layout}.tif', chunky, photometric='rgb', planarconfig='contig', **LAYOUTS[layout])
        for plane in range(3):
            expect(f'planar-{layout}.tif', planes[plane], plane=plane)
            expect(f'chunky-{layout}.tif', planes[plane], plane=plane)
    for extra in ['unassalpha', 'assocalpha', 'unspecified']:
        pair = np.ascontiguousarray(np.moveaxis(planes[:2], 0, -1))
        name = f'grey-and-{extra}.tif'
        write(name, pair, photometric='minisblack', planarconfig='contig', extrasamples=[extra])
        expect(name, planes[0])
    with tifffile.TiffWriter(os.path.join(FOLDER, 'pages.tif')) as tiff:
        for page in planes:
            tiff.write(page, photometric='minisblack', metadata=None, contiguous=False)
    with tifffile.TiffWriter(os.path.join(FOLDER, 'thumbnail-first.tif')) as tiff:
        tiff.write(planes[0][::2, ::2].copy(), photometric='minisblack', subfiletype=1, metadata=None)
        tiff.write(planes[1], photometric='minisblack', metadata=None)
    expect('pages.tif', planes[0])
    for page in range(3):
        expect('pages.tif', planes[page], page=page)
    expect('thumbnail-first.tif', planes[1])
    expect('thumbnail-first.tif', planes[0][::2, ::2], page=0)


def by_omission():
    """Tiles that are not stored (offset and count 0), lengths given as 0, markers that no sample can have."""
    for dtype, marker in [('u2', None), ('f4', '-9999'), ('f2', '-2'), ('i8', '-7'), ('u8', '9')]:
        for coding in [None, 'zlib']:
            if SMALL and (dtype, coding) not in [('u2', None), ('f4', 'zlib')]:
                continue
            picture = scene(dtype, 45, 40)
            shown = picture.astype('f8')
            tiles = []
            for y in range(0, 40, 16):
                for x in range(0, 45, 16):
                    missing = (x + y) // 16 % 2 == 1
                    if missing:
                        shown[y:y + 16, x:x + 16] = 0 if marker is None else np.nan
                    block = np.zeros((16, 16), dtype)
                    part = picture[y:y + 16, x:x + 16]
                    block[:part.shape[0], :part.shape[1]] = part
                    tiles.append(None if missing else block)
            if marker is not None:
                shown[shown == float(marker)] = np.nan
            tags = [] if marker is None else [(42113, 's', 0, marker, True)]
            name = f'unstored-{dtype}-{coding or "plain"}.tif'
            write(name, iter(tiles), shape=(40, 45), dtype=dtype, tile=(16, 16), compression=coding,
                  photometric='minisblack', extratags=tags)
            expect(name, shown)
    write('count-zero.tif', scene('u2'))
    with tifffile.TiffFile(os.path.join(FOLDER, 'count-zero.tif'), mode='r+b') as tiff:
        tiff.pages[0].tags['StripByteCounts'].overwrite(0)
    expect('count-zero.tif', scene('u2'))
    write('nodata-u2-65536.tif', scene('u2'), extratags=[(42113, 's', 0, '65536', True)])
    expect('nodata-u2-65536.tif', scene('u2'))


def by_inside():
    """Pictures inside pages: full ones beside and behind a thumbnail."""
    one, two, three = scene('u2'), scene('u2')[::-1].copy(), scene('u2')[:, ::-1].copy()
    for name, kind in [('inside-full.tif', 0), ('inside-thumbnail.tif', 1)]:
        with tifffile.TiffWriter(os.path.join(FOLDER, name)) as tiff:
            tiff.write(one[::2, ::2].copy(), photometric='minisblack', metadata=None, subfiletype=kind, subifds=2)
            tiff.write(two, photometric='minisblack', metadata=None)
            tiff.write(three, photometric='minisblack', metadata=None)
        expect(name, one[::2, ::2] if kind == 0 else two)
        expect(name, one[::2, ::2], page=[0])
        expect(name, two, page=[0, 0])
        expect(name, three, page=[0, 1])


by_type()
by_tag()
by_planes()
by_omission()
by_inside()
if shutil.which('tiffcp'):
    by_tiffcp()
with open(os.path.join(FOLDER, 'manifest.json'), 'w') as out:
    json.dump({'values': values, 'files': files}, out, indent=0)
