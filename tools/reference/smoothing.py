#!/usr/bin/env python3
"""Computes the curves that Offtape.Signal's spline is held against.

Run:  /usr/bin/python3 tools/reference/smoothing.py
Writes spline.csv to tests/Offtape.Signal.Tests/Fixtures/; it begins with the versions that made it.
"""

import itertools
import pathlib

import numpy
import scipy
import scipy.interpolate

TARGET = pathlib.Path(__file__).resolve().parents[2] / "tests" / "Offtape.Signal.Tests" / "Fixtures"


def spline():
    # Four points are one cubic; five the shortest with a knot; thirty of unlike size, as a map has after a ride.
    columns = {}
    for count in (4, 5, 30):
        values = numpy.random.default_rng(count).normal(size=count) * numpy.geomspace(1, 1e-3, count)
        curve = scipy.interpolate.CubicSpline(numpy.arange(count), values, bc_type="not-a-knot")
        at = numpy.linspace(0, count - 1, 97)
        columns |= {f"values-{count}": values, f"at-{count}": at, f"curve-{count}": curve(at)}
        columns[f"slopes-{count}"] = curve([0, count - 1], 1)
    return columns


if __name__ == "__main__":
    columns = spline()
    with open(TARGET / "spline.csv", "w", encoding="utf-8", newline="\n") as file:
        file.write(f"# tools/reference/smoothing.py, SciPy {scipy.__version__}, NumPy {numpy.__version__}\n")
        file.write(",".join(columns) + "\n")
        for row in itertools.zip_longest(*columns.values()):
            file.write(",".join("" if cell is None else repr(float(cell)) for cell in row) + "\n")
