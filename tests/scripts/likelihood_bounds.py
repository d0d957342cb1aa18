"""Empirical bounds of likelihood ratios with the package lir from PyPI (1.3.1 was used).

Reads tests/data/ratio_trials.csv, which `cargo test --test evidence write_ratio_trials -- --ignored` writes, and writes
tests/data/ratio_bounds.json. The first half of the trials are log10 ratios of true claims, the second half, with the
sign turned, of false ones (tests/evidence/validation.rs says which). The bounds are those of Vergeer et al., Science &
Justice 56, 2016, 482-491.

Run from the repository's root: python3 tests/scripts/likelihood_bounds.py
"""

import json
import pathlib

import numpy as np
from lir.algorithms.bayeserror import elub


def main():
    data = pathlib.Path(__file__).parent.parent / "data"
    trials = np.loadtxt(data / "ratio_trials.csv")
    half = len(trials) // 2
    values = np.concatenate([trials[:half], -trials[half:]])
    labels = np.concatenate([np.ones(half), np.zeros(len(trials) - half)])
    lower, upper = elub(values, labels)
    out = {"trials": len(trials), "lower_log10": float(lower), "upper_log10": float(upper)}
    (data / "ratio_bounds.json").write_text(json.dumps(out) + "\n")
    print(out)


if __name__ == "__main__":
    main()
