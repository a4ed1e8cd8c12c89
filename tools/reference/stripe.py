#!/usr/bin/env python3
"""A second implementation of the stripe, format version 1, at its native 24 000 Hz: prints the SHA-256 of one second.

    python3 tools/reference/stripe.py [pass number, 5]

Written from the description in src/Offtape.Tape/Stripes, with NumPy's whole-number convolution (results made with NumPy 1.24.2).
It works the filter out from its formula instead of reading the table.
"""
import hashlib
import math
import sys

import numpy as np

MASK = (1 << 64) - 1
HALF = 255
RATE = 24_000


def mix(z):
    z = ((z ^ (z >> 30)) * 0xBF58476D1CE4E5B9) & MASK
    z = ((z ^ (z >> 27)) * 0x94D049BB133111EB) & MASK
    return z ^ (z >> 31)


def noise(seed, n):
    top = mix((seed + (n + 1) * 0x9E3779B97F4A7C15) & MASK) >> 48
    return top - 65536 if top >= 32768 else top


def edge(f, a, b):
    return 0.0 if f <= a else 1.0 if f >= b else 0.5 - 0.5 * math.cos(math.pi * (f - a) / (b - a))


def coefficients():
    f = np.arange(1, RATE // 2)
    amplitude = np.array([(x / 1000.0) ** -0.125 * edge(x, 200, 300) * (1 - edge(x, 9000, 9600)) for x in f])
    k = np.arange(HALF + 1)
    h = np.array([2 * np.sum(amplitude * np.cos(2 * np.pi * n * f / RATE)) for n in k]) / RATE
    right = np.rint(h * (0.5 + 0.5 * np.cos(np.pi * k / (HALF + 1))) * 2**24).astype(np.int64)
    return np.concatenate([right[:0:-1], right])


def main():
    pass_number = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    seed = mix((1 << 32) | pass_number)
    c = coefficients()
    w = np.array([noise(seed, n) for n in range(-2 * HALF, RATE + 2 * HALF)], dtype=np.int64)
    rms = round(math.sqrt(float(np.sum(c.astype(float) ** 2))) * 65536 / math.sqrt(12))
    u = np.convolve(w, c, "valid").astype(np.float64) * (0.7 / rms)
    limited = np.rint(u / np.sqrt(1 + u * u) * 2**20).astype(np.int64)
    second = np.convolve(limited, c, "valid").astype(np.float64) * (0.251188643150958 / (1.1 * 2**20 * 2**24))
    print(hashlib.sha256(second.astype("<f4").tobytes()).hexdigest())


main()
