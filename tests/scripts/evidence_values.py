"""Reference values for the weighing of verdicts, by enumeration with NumPy and SciPy.

Writes tests/data/evidence_values.json: the first case is the worked example of tests/evidence.rs, the others are drawn
at random. Nothing here shares code or method with the program: each case enumerates every joint reading of a side's
features, keeps those that the verdicts allow and sums their probabilities, where the program multiplies by feature;
unlisted dies are written out one by one, each with the feature or the two in which it differs and the state that it
shows there, where the program has a closed formula; unlisted pairings are listed, where it subtracts from a product.

Run from the repository's root: python3 tests/scripts/evidence_values.py
"""

import itertools
import json
import pathlib

import numpy as np
from scipy.stats import entropy


POOR_LOOK = 0.05
SHARES = {"pairing": 0.04, "obverse": 0.04, "reverse": 0.04}
STATE_UNLISTED = 0.2
IN_ONE, IN_TWO, OWN = 0.4, 0.4, 0.2
# As the program bounds its ratio, src/evidence/validated.rs.
VALIDATED_LOG10 = 3.0

UNLISTED = "a state that the set does not list"


def reading(reliability, states, shown):
    """Chance of each reading, the last one 'none of these'; None is a silent die, which shows each state alike."""
    if shown is None:
        return np.append(np.full(states, 1 / states), 0.0)
    if shown == UNLISTED:
        return np.append(np.full(states, (1 - reliability) / states), reliability)
    chances = np.full(states, (1 - reliability) / (states - 1))
    chances[shown] = reliability
    return np.append(chances, 0.0)


def poorly(chances, states):
    """Half the careful look, half a guess among the listed states."""
    return 0.5 * chances + 0.5 * np.append(np.full(states, 1 / states), 0.0)


def allowed(verdicts, states):
    """Readings that a feature's verdicts (state, 'agrees' or 'differs') leave; without any, none is left out."""
    left = set(range(states + 1)) if not verdicts else set(range(states))
    for state, ruling in verdicts:
        left &= {state} if ruling == "agrees" else left - {state}
    return left


def likelihood(features, shows, left):
    """Of a side's verdicts if a die shows these states: a side looked at carefully, or poorly throughout."""
    total = 0.0
    for weight, poor in ((1 - POOR_LOOK, False), (POOR_LOOK, True)):
        chances = [reading(f["reliability"], f["states"], shown) for f, shown in zip(features, shows)]
        if poor:
            chances = [poorly(c, f["states"]) for c, f in zip(chances, features)]
        for joint in itertools.product(*[range(f["states"] + 1) for f in features]):
            if all(r in l for r, l in zip(joint, left)):
                total += weight * np.prod([c[r] for c, r in zip(chances, joint)])
    return float(total)


def other_states(features, f, shown):
    """The states that an unlisted die may show where it differs, each with its chance."""
    others = [s for s in range(features[f]["states"]) if s != shown]
    listed = [(s, (1 - STATE_UNLISTED) / len(others)) for s in others]
    return listed + [(UNLISTED, STATE_UNLISTED)]


def near_likelihood(features, die, left):
    """Of an unlisted die that is nearly like a listed one: each die that it may be, written out."""
    told = [f for f, shown in enumerate(die) if shown is not None]

    def differing_in(count):
        sets = list(itertools.combinations(told, min(count, len(told))))
        total = 0.0
        for places in sets:
            for change in itertools.product(*[other_states(features, f, die[f]) for f in places]):
                shows = list(die)
                weight = 1 / len(sets)
                for f, (state, chance) in zip(places, change):
                    shows[f] = state
                    weight *= chance
                total += weight * likelihood(features, shows, left)
        return total

    return (IN_ONE * differing_in(1) + IN_TWO * differing_in(2)) / (IN_ONE + IN_TWO)


def own_likelihood(side, left):
    """Of an unlisted die like none in particular: every row of states, as often as the listed dies show them."""
    shares = []
    for f, spec in enumerate(side["features"]):
        counts = [0.5 + sum(die[f] == s for die in side["dies"]) for s in range(spec["states"])]
        shares.append(np.array(counts) / sum(counts))
    total = 0.0
    for shows in itertools.product(*[range(f["states"]) for f in side["features"]]):
        total += np.prod([shares[f][s] for f, s in enumerate(shows)]) * likelihood(side["features"], shows, left)
    return float(total)


def weigh_side(side, verdicts, share):
    features = side["features"]
    left = [allowed([v[1:] for v in verdicts if v[0] == f], spec["states"]) for f, spec in enumerate(features)]
    dies = [likelihood(features, die, left) for die in side["dies"]]
    own = own_likelihood(side, left)
    unlisted = [(1 - OWN) * near_likelihood(features, die, left) + OWN * own for die in side["dies"]]
    listed = np.array(dies) * (1 - share) / len(dies)
    not_listed = share * np.mean(unlisted)
    total = listed.sum() + not_listed
    return {"dies": dies, "unlisted": unlisted, "left": left, "probabilities": (listed / total).tolist(),
            "unlisted_probability": float(not_listed / total)}


def gain_bits(posterior, rows):
    """Mutual information of row and reading, as the Kullback-Leibler divergence of joint against product."""
    joint = np.array([p * row for p, row in zip(posterior, rows)])
    product = np.outer(joint.sum(axis=1), joint.sum(axis=0))
    keep = joint > 0
    return float(entropy(joint[keep], product[keep], base=2)) if keep.any() else 0.0


def solve(case):
    share = {n: SHARES[n] if any(s is not None for d in case[n]["dies"] for s in d) else 0.0 for n in ("obverse", "reverse")}
    sides = {n: weigh_side(case[n], case["verdicts"][n], share[n]) for n in ("obverse", "reverse")}
    o, r = sides["obverse"], sides["reverse"]
    listed = [tuple(p) for p in case["pairings"]]
    pairs = np.array([o["dies"][i] * r["dies"][k] for i, k in listed])
    every = itertools.product(range(len(o["dies"])), range(len(r["dies"])))
    unlisted = [o["dies"][i] * r["dies"][k] for i, k in every if (i, k) not in listed]
    weights = [
        (1 - SHARES["pairing"] - share["obverse"] - share["reverse"]) / len(listed) * pairs,
        SHARES["pairing"] * np.mean(unlisted) if unlisted else 0.0,
        share["obverse"] * np.mean([o["unlisted"][i] * r["dies"][k] for i, k in listed]),
        share["reverse"] * np.mean([o["dies"][i] * r["unlisted"][k] for i, k in listed]),
        share["obverse"] * share["reverse"] * np.mean([o["unlisted"][i] * r["unlisted"][k] for i, k in listed]),
    ]
    total = sum(np.sum(w) for w in weights)
    probabilities = weights[0] / total
    posterior = pairs / pairs.sum()
    best = int(np.argmax(posterior))
    ratio = pairs[best] / np.max(np.delete(pairs, best))
    gains = {}
    for place, name in enumerate(("obverse", "reverse")):
        for f, spec in enumerate(case[name]["features"]):
            given = [v for v in case["verdicts"][name] if v[0] == f]
            if any(v[2] == "agrees" for v in given) or len(given) == spec["states"]:
                continue
            keep = sorted(sides[name]["left"][f] - {spec["states"]})
            rows = []
            for pairing in case["pairings"]:
                chances = reading(spec["reliability"], spec["states"], case[name]["dies"][pairing[place]][f])[keep]
                rows.append(chances / chances.sum())
            gains[f"{name} {f}"] = gain_bits(posterior, rows)
    return {
        "likelihoods": {n: sides[n]["dies"] for n in sides},
        "die_probabilities": {n: sides[n]["probabilities"] for n in sides},
        "unlisted_die": {n: sides[n]["unlisted_probability"] for n in sides},
        "probabilities": probabilities.tolist(),
        "open_world": [float(w / total) for w in weights[1:]],
        "log10_ratio": float(np.clip(np.log10(ratio), -VALIDATED_LOG10, VALIDATED_LOG10)),
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
