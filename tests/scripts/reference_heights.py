#!/usr/bin/env python3
"""Heights by SciPy's least squares over simulated pictures of a raised design: every homography and every height free,
derivatives numeric. Writes the marks and what is found of them to tests/data/fits/heights.json.

Needs NumPy and SciPy from PyPI.  Usage: tests/scripts/reference_heights.py > tests/data/fits/heights.json
"""

import json

import numpy as np
from scipy.optimize import least_squares

RNG = np.random.default_rng(20261126)
RADIUS, MEAN, DEVIATION, NOISE_PX = 14.0, 0.2275, 0.0707, 1.4


def rotation(axis, angle):
    axis = np.asarray(axis, float) / np.linalg.norm(axis)
    k = np.array([[0, -axis[2], axis[1]], [axis[2], 0, -axis[0]], [-axis[1], axis[0], 0]])
    return np.eye(3) + np.sin(angle) * k + (1 - np.cos(angle)) * k @ k


count, pictures = 9, 7
angle = np.arange(count) * 2.39996
points = np.column_stack([np.cos(angle), np.sin(angle)]) * np.where(np.arange(count) % 3, 11.5, 6.0)[:, None]
truth = RNG.uniform(0.1, 0.35, count)

views = []
for _ in range(pictures):
    tilt, direction, turn = np.radians([RNG.uniform(6, 24), RNG.uniform(0, 360), RNG.uniform(0, 360)])
    distance = RNG.uniform(150, 400)
    about = rotation([0, 0, 1], turn) @ rotation([np.cos(direction), np.sin(direction), 0], tilt)
    # The camera's centre in the side's frame, z away from the camera.
    centre = -about.T @ np.array([0, 0, distance])
    foot, height = centre[:2], -centre[2]
    at = np.column_stack([points, -truth]) @ about.T + [0, 0, distance]
    seen = 40 * distance * at[:, :2] / at[:, 2:] + [1500, 1100] + RNG.normal(0, NOISE_PX, (count, 2))
    # One landmark is missing here and there.
    marks = [i for i in range(count) if RNG.uniform() > 0.12]
    views.append((foot / height, 1 / height, seen, marks))


def homographies(x):
    return [np.append(x[count + 8 * k : count + 8 * k + 8], 1).reshape(3, 3) for k in range(pictures)]


def residuals(x):
    heights = x[:count]
    out = [(heights - MEAN) / DEVIATION]
    for h, (tilt, inverse, seen, marks) in zip(homographies(x), views):
        raised = points + heights[:, None] * (points * inverse - tilt)
        # In units alike in size: the side in radii, the picture in thousands of px.
        v = np.column_stack([raised / RADIUS, np.ones(count)]) @ h.T
        off = seen - 1000 * v[:, :2] / v[:, 2:]
        out.append((off[marks] / NOISE_PX).ravel())
    return np.concatenate(out)


start = [np.full(count, MEAN)]
for _, _, seen, _ in views:
    # An affine map by linear least squares.
    a = np.column_stack([points / RADIUS, np.ones(count)])
    m = np.linalg.lstsq(a, seen / 1000, rcond=None)[0].T
    start.append(np.append(m.ravel(), [0, 0]))
found = least_squares(residuals, np.concatenate(start), jac="3-point", xtol=1e-15, ftol=1e-15, gtol=1e-15, x_scale="jac")
covariance = np.linalg.inv(found.jac.T @ found.jac)[:count, :count]
print(
    json.dumps(
        {
            "points": points.tolist(),
            "truth": truth.tolist(),
            "mean": MEAN,
            "deviation": DEVIATION,
            "noise_px": NOISE_PX,
            "pictures": [
                {"tilt": t.tolist(), "inverse_distance": i, "marks": [[k, *s[k].tolist()] for k in m]}
                for t, i, s, m in views
            ],
            "heights": found.x[:count].tolist(),
            "deviations": np.sqrt(np.diag(covariance)).tolist(),
        },
        indent=1,
    )
)
