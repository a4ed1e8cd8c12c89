#!/usr/bin/env python3
"""Probability of at least so many right answers by guessing, by SciPy's exact binomial test: the fixture of GuessingOddsTests.

Run:  /usr/bin/python3 tools/reference/guessing.py > tests/Offtape.Web.Tests/Listening/guessing.csv
"""

import scipy
from scipy.stats import binomtest

print(f"right,trials,probability (SciPy {scipy.__version__})")
for trials in (1, 2, 5, 10, 16, 20, 25, 40, 64, 100):
    for right in range(0, trials + 1, 1 if trials <= 25 else 7):
        print(f"{right},{trials},{binomtest(right, trials, 0.5, alternative='greater').pvalue!r}")
