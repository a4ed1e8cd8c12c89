#!/usr/bin/env python3
"""Computes the tables that Offtape.Signal's transforms, windows, chirps and correlation are held against.

Run:  /usr/bin/python3 tools/reference/transforms.py
Writes small CSV files to tests/Offtape.Signal.Tests/Fixtures/; each begins with the versions that made it.
"""

import itertools
import pathlib

import numpy
import scipy
import scipy.fft
import scipy.signal
import scipy.special

TARGET = pathlib.Path(__file__).resolve().parents[2] / "tests" / "Offtape.Signal.Tests" / "Fixtures"


def write(name, **columns):
    """One CSV file, shorter columns padded with empty cells."""
    with open(TARGET / name, "w", encoding="utf-8", newline="\n") as file:
        file.write(f"# tools/reference/transforms.py, SciPy {scipy.__version__}, NumPy {numpy.__version__}\n")
        file.write(",".join(columns) + "\n")
        for row in itertools.zip_longest(*columns.values()):
            file.write(",".join("" if cell is None else repr(float(cell)) for cell in row) + "\n")


def real_transform():
    # Values that single precision holds exactly.
    x = numpy.random.default_rng(1).uniform(-1, 1, 512).astype(numpy.float32).astype(float)
    spectrum = scipy.fft.rfft(x)
    write("rfft-512.csv", x=x, re=spectrum.real, im=spectrum.imag)


def windows():
    names = {"hann": "hann", "hamming": "hamming", "blackmanharris": "blackmanharris", "flattop": "flattop", "kaiser8": ("kaiser", 8.0)}
    columns = {}
    for label, window in names.items():
        for form, periodic in (("periodic", True), ("symmetric", False)):
            for length in (15, 16):
                columns[f"{label}-{form}-{length}"] = scipy.signal.get_window(window, length, fftbins=periodic)
    write("windows.csv", **columns)
    x = numpy.array([0.0, 0.1, 1.0, 5.0, 8.0, 10.0, 20.0, 50.0])
    write("bessel.csv", x=x, i0=scipy.special.i0(x))


def hyperbolic_chirp():
    rate = 48000
    t = numpy.arange(0, 24000, 97) / rate
    # SciPy's chirp is a cosine; the product's a sine: a quarter cycle earlier.
    rising = scipy.signal.chirp(t, 2000, 0.5, 10000, method="hyperbolic", phi=-90)
    falling = scipy.signal.chirp(t, 6000, 0.5, 500, method="hyperbolic", phi=-90)
    write("hyperbolic-chirp.csv", rising=rising, falling=falling)


def hilbert():
    # A low note that starts at once and dies away: the hard case, whose quadrature has long tails on both sides.
    n = numpy.arange(500)
    burst = (numpy.exp(-n / 60) * numpy.sin(0.02 * n)).astype(numpy.float32)
    padded = numpy.concatenate([burst.astype(float), numpy.zeros(65536 - len(n))])
    quadrature = scipy.signal.hilbert(padded).imag[: len(n)]
    write("hilbert.csv", burst=burst, quadrature=quadrature)


def correlation():
    random = numpy.random.default_rng(2)
    signal = random.uniform(-1, 1, 900).astype(numpy.float32).astype(float)
    template = random.uniform(-1, 1, 70).astype(numpy.float32).astype(float)
    write("correlation.csv", signal=signal, template=template, valid=scipy.signal.correlate(signal, template, mode="valid", method="direct"))


if __name__ == "__main__":
    real_transform()
    windows()
    hyperbolic_chirp()
    hilbert()
    correlation()
