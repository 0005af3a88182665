#!/usr/bin/python3
"""The same mix with numpy and astropy. Usage: peer_numpy.py plain|strips|awkward FOLDER OUT.tif

plain: the obvious whole-array expression. strips: memory-mapped, eight rows at a time, two threads.
awkward: as strips, with an asinh curve and weights that leave many pixels outside the colour space.
"""
import sys
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import tifffile
from astropy.io import fits

mode, folder, out = sys.argv[1:4]
BLACK, WHITE, A = np.float32(0.012), np.float32(1), np.float32(0.93)
K = np.float32(1 / A - 2)
M = np.array([[0.85, 0.15, 0.0], [0.25, 0.65, 0.10], [-0.05, 0.10, 0.95]], np.float32)
if mode == "awkward":
    M = np.array([[1.3, -0.05, -0.25], [-0.2, 1.25, -0.05], [-0.05, -0.1, 1.15]], np.float32)
STEEP = np.float32(1 / 0.01)
paths = [f"{folder}/{line}.fits" for line in "SHO"]


def stretch(x):
    t = np.clip((x - BLACK) / (WHITE - BLACK), 0, 1)
    return t / (K * (1 - t) + 1)


def finish(rgb):
    rgb = rgb / np.maximum(1, rgb.max(-1, keepdims=True))
    return (np.clip(rgb, 0, 1) * np.float32(65535) + np.float32(0.5)).astype(np.uint16)


if mode == "plain":
    planes = [stretch(fits.getdata(path).astype(np.float32)) for path in paths]
    tifffile.imwrite(out, finish(np.stack(planes, -1) @ M.T), photometric="rgb")
else:
    data = [fits.open(path, memmap=True)[0].data for path in paths]
    height, width = data[0].shape
    picture = tifffile.memmap(out, shape=(height, width, 3), dtype=np.uint16, photometric="rgb")

    def strip(y):
        v = []
        for plane in data:
            x = plane[y : y + 8].astype(np.float32)
            x -= BLACK
            x *= 1 / (WHITE - BLACK)
            np.clip(x, 0, 1, out=x)
            if mode == "awkward":
                x *= STEEP
                np.arcsinh(x, out=x)
                x /= np.arcsinh(STEEP)
            else:
                d = 1 - x
                d *= K
                d += 1
                x /= d
            v.append(x)
        rows = []
        for weights in M:
            row = v[0] * weights[0]
            row += v[1] * weights[1]
            row += v[2] * weights[2]
            rows.append(row)
        most = np.maximum(np.maximum(rows[0], rows[1]), rows[2])
        np.maximum(most, 1, out=most)
        for band, row in enumerate(rows):
            row /= most
            np.clip(row, 0, 1, out=row)
            row *= 65535
            row += 0.5
            picture[y : y + 8, :, band] = row

    with ThreadPoolExecutor(2) as pool:
        list(pool.map(strip, range(0, height, 8)))
