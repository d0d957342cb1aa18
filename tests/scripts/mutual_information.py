"""Prints the mutual information in bits of die and reading, from the joint distribution, for tests/sets/usefulness.rs."""

import numpy as np


def bits(reliability, states, dies):
    joint = np.zeros((len(dies), states))
    for i, shown in enumerate(dies):
        if shown == "-":
            joint[i] = 1 / states
        else:
            joint[i] = (1 - reliability) / (states - 1)
            joint[i, "abcd".index(shown)] = reliability
    joint /= len(dies)
    product = np.outer(joint.sum(1), joint.sum(0))
    return float(np.sum(joint * np.log2(joint / product)))


for case in [(0.95, 2, "ab"), (0.9, 3, "abca-"), (0.8, 4, "aaab"), (0.95, 2, "aa-")]:
    print(case, repr(bits(*case)))
