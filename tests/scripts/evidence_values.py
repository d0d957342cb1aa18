"""Reference values for the weighing of verdicts, by enumeration with NumPy and SciPy.

Writes tests/data/evidence_values.json: the first case is the worked example of tests/evidence.rs, the others are drawn
at random. Nothing here shares code or method with the program: each case enumerates every joint reading of a side's
features, keeps those that the verdicts allow and sums their probabilities, where the program multiplies by feature.

Run from the repository's root: python3 tests/scripts/evidence_values.py
"""

import itertools
import json
import pathlib

import numpy as np
from scipy.stats import entropy


def reading(reliability, states, shown):
    """Chance of each reading; None is a silent die, which shows each state alike."""
    if shown is None:
        return np.full(states, 1 / states)
    chances = np.full(states, (1 - reliability) / (states - 1))
    chances[shown] = reliability
    return chances


def allowed(verdicts, states):
    """Readings that a feature's verdicts (state, 'agrees' or 'differs') leave."""
    left = set(range(states))
    for state, ruling in verdicts:
        left &= {state} if ruling == "agrees" else left - {state}
    return left


def side_likelihoods(side, verdicts):
    features = side["features"]
    left = [allowed([v[1:] for v in verdicts if v[0] == f], spec["states"]) for f, spec in enumerate(features)]
    result = []
    for die in side["dies"]:
        chances = [reading(s["reliability"], s["states"], shown) for s, shown in zip(features, die)]
        total = 0.0
        for joint in itertools.product(*[range(s["states"]) for s in features]):
            if all(r in l for r, l in zip(joint, left)):
                total += np.prod([c[r] for c, r in zip(chances, joint)])
        result.append(float(total))
    return result, left


def gain_bits(posterior, rows):
    """Mutual information of row and reading, as the Kullback-Leibler divergence of joint against product."""
    joint = np.array([p * row for p, row in zip(posterior, rows)])
    product = np.outer(joint.sum(axis=1), joint.sum(axis=0))
    keep = joint > 0
    return float(entropy(joint[keep], product[keep], base=2)) if keep.any() else 0.0


def solve(case):
    likelihoods, left = {}, {}
    for name in ("obverse", "reverse"):
        likelihoods[name], left[name] = side_likelihoods(case[name], case["verdicts"][name])
    pairs = np.array([likelihoods["obverse"][o] * likelihoods["reverse"][r] for o, r in case["pairings"]])
    posterior = pairs / pairs.sum()
    best = int(np.argmax(posterior))
    ratio = pairs[best] / np.max(np.delete(pairs, best))
    gains = {}
    for place, name in enumerate(("obverse", "reverse")):
        for f, spec in enumerate(case[name]["features"]):
            given = [v for v in case["verdicts"][name] if v[0] == f]
            if any(v[2] == "agrees" for v in given) or len(given) == spec["states"]:
                continue
            keep = sorted(left[name][f])
            rows = []
            for pairing in case["pairings"]:
                chances = reading(spec["reliability"], spec["states"], case[name]["dies"][pairing[place]][f])[keep]
                rows.append(chances / chances.sum())
            gains[f"{name} {f}"] = gain_bits(posterior, rows)
    return {
        "likelihoods": likelihoods,
        "probabilities": posterior.tolist(),
        "log10_ratio": float(np.log10(ratio)),
        "gains_bits": gains,
    }


WORKED = {
    "obverse": {
        "features": [{"states": 2, "reliability": 0.9}, {"states": 3, "reliability": 0.8}],
        "dies": [[0, 0], [1, 0], [1, None]],
    },
    "reverse": {"features": [{"states": 2, "reliability": 0.95}], "dies": [[0], [1]]},
    "pairings": [[0, 0], [1, 0], [2, 1]],
    "verdicts": {"obverse": [[0, 0, "agrees"], [1, 2, "differs"]], "reverse": [[0, 0, "agrees"]]},
}


def draw(rng):
    case = {"verdicts": {}}
    for name in ("obverse", "reverse"):
        features = [
            {"states": int(rng.integers(2, 5)), "reliability": round(float(rng.uniform(0.6, 0.99)), 3)}
            for _ in range(int(rng.integers(2, 5)))
        ]
        dies = [
            [None if rng.random() < 0.2 else int(rng.integers(s["states"])) for s in features]
            for _ in range(int(rng.integers(2, 5)))
        ]
        verdicts = []
        for f, spec in enumerate(features):
            if rng.random() < 0.3:
                continue
            seen = int(rng.integers(spec["states"]))
            for state in rng.permutation(spec["states"])[: int(rng.integers(1, spec["states"] + 1))]:
                verdicts.append([f, int(state), "agrees" if state == seen else "differs"])
        case[name] = {"features": features, "dies": dies}
        case["verdicts"][name] = verdicts
    every = [[o, r] for o in range(len(case["obverse"]["dies"])) for r in range(len(case["reverse"]["dies"]))]
    count = int(rng.integers(2, len(every) + 1))
    case["pairings"] = [every[i] for i in sorted(rng.permutation(len(every))[:count])]
    return case


def main():
    rng = np.random.default_rng(20240517)
    cases = [WORKED] + [draw(rng) for _ in range(40)]
    out = [{**case, "expected": solve(case)} for case in cases]
    path = pathlib.Path(__file__).parent.parent / "data" / "evidence_values.json"
    path.write_text(json.dumps(out, indent=None, separators=(",", ":")).replace("},{\"obverse\"", "},\n{\"obverse\"") + "\n")


if __name__ == "__main__":
    main()
