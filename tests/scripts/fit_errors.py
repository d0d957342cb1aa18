#!/usr/bin/env python3
"""The errors to which tests/alignment/fits.rs holds the fits, by trials of its own (NumPy alone).

    python3 tests/scripts/fit_errors.py

Five landmarks 13 mm from the middle and one in it, each placed with a normal error of 0.08 mm a coordinate; the root mean
square error in mm at 0, 7 and 14 mm from the middle, over ten directions. Similarity and affine by linear least squares, the
rotation with known scale by Kabsch's rule (Acta Cryst. A32, 1976, 922), the homography by Gauss-Newton steps on the
picture's error from the truth on. Prints the numbers of the test.
"""
import numpy as np

TRIALS, PX_PER_MM, NOISE_PX = 40_000, 40.0, 3.2
AROUND = 2 * np.pi * np.arange(5) / 5
PLACES = np.vstack([13.0 * np.stack([np.cos(AROUND), np.sin(AROUND)], 1), [[0.0, 0.0]]])


def main():
    rng = np.random.default_rng(1)
    turn = np.radians(33.0)
    r = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    truth = lambda p: PX_PER_MM * p @ r.T
    angles = 2 * np.pi * np.arange(10) / 10
    rings = [d * np.stack([np.cos(angles), np.sin(angles)], 1) for d in (0.0, 7.0, 14.0)]
    seen = truth(PLACES) + NOISE_PX * rng.standard_normal((TRIALS, *PLACES.shape))
    for name, fitted in (
        ("similarity", similarity(seen)),
        ("affine", affine(seen)),
        ("homography", homography(seen, PX_PER_MM * r)),
        ("rotation and shift", rigid(seen)),
    ):
        errors = [np.sqrt(((fitted(ring) - truth(ring)) ** 2).sum(-1).mean()) / PX_PER_MM for ring in rings]
        print(f"{name}: " + ", ".join(f"{e:.4f}" for e in errors))


def similarity(seen):
    x, y = PLACES.T
    one, nil = np.ones_like(x), np.zeros_like(x)
    design = np.concatenate([np.stack([x, -y, one, nil], 1), np.stack([y, x, nil, one], 1)])
    a, b, u, v = (seen.transpose(0, 2, 1).reshape(len(seen), -1) @ np.linalg.pinv(design).T).T
    return lambda p: np.stack(
        [np.outer(a, p[:, 0]) - np.outer(b, p[:, 1]) + u[:, None], np.outer(b, p[:, 0]) + np.outer(a, p[:, 1]) + v[:, None]], -1
    )


def affine(seen):
    full = lambda p: np.concatenate([p, np.ones((len(p), 1))], 1)
    solution = np.linalg.pinv(full(PLACES)) @ seen
    return lambda p: full(p) @ solution


def rigid(seen):
    p, q = PLACES - PLACES.mean(0), seen - seen.mean(1, keepdims=True)
    turn = np.arctan2((q[..., 1] * p[:, 0] - q[..., 0] * p[:, 1]).sum(1), (q * p).sum((1, 2)))
    c, s = np.cos(turn), np.sin(turn)
    r = PX_PER_MM * np.stack([np.stack([c, -s], -1), np.stack([s, c], -1)], -2)
    shift = seen.mean(1) - r @ PLACES.mean(0)
    return lambda p: np.einsum("tij,nj->tni", r, p) + shift[:, None]


def homography(seen, linear):
    h = np.tile(np.concatenate([np.concatenate([linear, np.zeros((2, 1))], 1).ravel(), [0.0, 0.0]]), (len(seen), 1))

    def at(h, p):
        x, y = p.T
        w = 1 + np.outer(h[:, 6], x) + np.outer(h[:, 7], y)
        u = (np.outer(h[:, 0], x) + np.outer(h[:, 1], y) + h[:, 2:3]) / w
        v = (np.outer(h[:, 3], x) + np.outer(h[:, 4], y) + h[:, 5:6]) / w
        return u, v, w

    x, y = PLACES.T
    for _ in range(12):
        u, v, w = at(h, PLACES)
        nil = np.zeros_like(w)
        du = np.stack([x / w, y / w, 1 / w, nil, nil, nil, -u * x / w, -u * y / w], -1)
        dv = np.stack([nil, nil, nil, x / w, y / w, 1 / w, -v * x / w, -v * y / w], -1)
        jacobian = np.concatenate([du, dv], 1)
        left = np.concatenate([seen[..., 0] - u, seen[..., 1] - v], 1)
        # The last two numbers are far smaller than the others: columns are scaled before solving.
        size = np.linalg.norm(jacobian, axis=1, keepdims=True)
        scaled = jacobian / size
        normal = scaled.transpose(0, 2, 1) @ scaled
        step = np.linalg.solve(normal, (scaled.transpose(0, 2, 1) @ left[..., None]))[..., 0]
        h = h + step / size[:, 0]
    return lambda p: np.stack(at(h, p)[:2], -1)


if __name__ == "__main__":
    main()
