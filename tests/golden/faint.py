"""Writes faint.json: the octaves of docs/maths/faint.md by float64 numpy and scipy over whole planes, independent of the library.
Run with any Python 3 that has both:  python3 tests/golden/faint.py > tests/golden/faint.json"""
import json
import math

import numpy as np
from scipy import ndimage

WIDTH, HEIGHT, SEED = 301, 218, 5
NOISE = dict(level=100.0, variance=9.0, perCount=0.5, neighbours=0.1)
LIGHT, FLATS = 900.0, 0.0007


def field():
    """The field of tests/faint/golden.test.ts: a linear congruence modulo 2^32, Box and Muller, a disc, a slope; holes and a corner."""
    state = SEED
    def uniform():
        nonlocal state
        state = (state * 1664525 + 1013904223) % 2**32
        return state / 2**32
    values = np.empty(WIDTH * HEIGHT)
    for i in range(values.size):
        a, b = uniform(), uniform()
        values[i] = math.sqrt(-2 * math.log(1 - a)) * math.cos(2 * math.pi * b)
    y, x = np.mgrid[:HEIGHT, :WIDTH]
    light = 20 * np.exp(-((x - 150) ** 2 + (y - 90) ** 2) / 400) + 0.01 * x
    plane = (100 + light + 3 * values.reshape(HEIGHT, WIDTH)).astype(np.float32).astype(float)
    has_data = x + y >= 60
    starry = ((x // 2 - 90) ** 2 + (y // 2 - 60) ** 2 <= 36) | ((x // 2 - 30) ** 2 + (y // 2 - 80) ** 2 <= 9)
    return plane, has_data, has_data & ~starry


def squares(plane, side):
    """Sums over squares of pixels."""
    high, wide = -(-HEIGHT // side), -(-WIDTH // side)
    padded = np.zeros((high * side, wide * side))
    padded[:HEIGHT, :WIDTH] = plane
    return padded.reshape(high, side, wide, side).sum(axis=(1, 3))


def kernel(deviation, reach):
    at = np.arange(-reach, reach + 1)
    weights = np.exp(-0.5 * (at / deviation) ** 2)
    return weights / weights.sum()


def through(plane, weights):
    for axis in (0, 1):
        plane = ndimage.correlate1d(plane, weights, axis, mode="constant", cval=0.0)
    return plane


NARROW, WIDE = kernel(2, 8), kernel(8, 24)
NARROW_IN_WIDE = np.pad(NARROW, 16)


def octave(plane, has_data, counts, side):
    n = squares(counts, side)
    total = squares(np.where(counts, plane - 100, 0), side)
    value = 100 + total / np.maximum(n, 1)
    variance = NOISE["variance"] + NOISE["perCount"] * np.maximum(0, value - NOISE["level"])
    na, nb = through(n, NARROW), through(n, WIDE)
    with np.errstate(divide="ignore", invalid="ignore"):
        d = through(total, NARROW) / na - through(total, WIDE) / nb
        spread = (
            through(n * variance, NARROW**2) / na**2
            - 2 * through(n * variance, NARROW_IN_WIDE * WIDE) / (na * nb)
            + through(n * variance, WIDE**2) / nb**2
        ) * (1 + 2 * NOISE["neighbours"]) ** 2
    full, cover = side**2, squares(has_data, side)
    known = (na > 0.3 * full) & (nb > 0.3 * full)
    known &= (through(cover, NARROW) > 0.8 * full) & (through(cover, WIDE) > 0.8 * full)
    return np.where(known, d / np.sqrt(spread + (FLATS * LIGHT) ** 2), np.nan)


def density():
    k = np.outer(NARROW_IN_WIDE, NARROW_IN_WIDE) - np.outer(WIDE, WIDE)
    k = np.pad(k, 1)
    return float(((k - np.roll(k, 1, axis=1)) ** 2).sum() / (k**2).sum())


def threshold(blobs, bins):
    """By a fine table, where the count falls with u."""
    u = np.arange(1, 8, 1e-5)
    expected = bins * density() * (2 * math.pi) ** -1.5 * u * np.exp(-(u**2) / 2)
    return float(u[np.argmax(expected <= blobs)])


def main():
    plane, has_data, counts = field()
    octaves = []
    for side in (2, 4):
        z = octave(plane, has_data, counts, side)
        rng = np.random.default_rng(side)
        at = rng.choice(np.flatnonzero(np.isfinite(z)), 24, replace=False)
        octaves.append(
            dict(
                size=side,
                known=int(np.isfinite(z).sum()),
                z=[[int(i % z.shape[1]), int(i // z.shape[1]), round(float(z.flat[i]), 5)] for i in sorted(at)],
            )
        )
    print(
        json.dumps(
            dict(
                source="tests/golden/faint.py: Python with numpy and scipy, float64, whole planes.",
                field=dict(width=WIDTH, height=HEIGHT, seed=SEED),
                noise=NOISE,
                light=LIGHT,
                flats=FLATS,
                density=round(density(), 7),
                thresholds=[[b, n, round(threshold(b, n), 4)] for b, n in ((0.2, 240000), (0.2, 15000), (2, 3750), (0.02, 1e6))],
                octaves=octaves,
            ),
            indent=1,
        )
    )


main()
