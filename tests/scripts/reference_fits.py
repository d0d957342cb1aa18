"""Writes tests/data/fits/reference.json: fits of the three models by independent libraries on the same points.

similarity: scikit-image SimilarityTransform (Umeyama's least squares); affine: numpy.linalg.lstsq, for three
points checked against OpenCV's getAffineTransform; homography: OpenCV findHomography (method 0) as start, refined by
scipy.optimize.least_squares on picture error to its limit. Run: python3 tests/scripts/reference_fits.py
"""
import json, pathlib
import cv2, numpy as np, scipy, skimage
from scipy.optimize import least_squares
from skimage.transform import SimilarityTransform

rng = np.random.default_rng(20)

def apply(m, p):
    q = np.c_[p, np.ones(len(p))] @ m.T
    return q[:, :2] / q[:, 2:]

def tilted(tilt, turn, swing, scale, distance, centre):
    """A pinhole camera looking at the side's origin from `distance` mm, `scale` px/mm at the origin."""
    t, r, s = np.radians([tilt, turn, swing])
    rz = lambda a: np.array([[np.cos(a), -np.sin(a), 0], [np.sin(a), np.cos(a), 0], [0, 0, 1]])
    rx = np.array([[1, 0, 0], [0, np.cos(t), -np.sin(t)], [0, np.sin(t), np.cos(t)]])
    rot = rz(r) @ rz(s) @ rx @ rz(-s)
    f = scale * distance
    k = np.array([[f, 0, centre[0]], [0, f, centre[1]], [0, 0, 1]])
    return k @ np.c_[rot[:, 0], rot[:, 1], [0, 0, distance]]

def affine_fit(p, q):
    a, *_ = np.linalg.lstsq(np.c_[p, np.ones(len(p))], q, rcond=None)
    return np.r_[a.T, [[0, 0, 1]]]

def homography_fit(p, q):
    # In normalised coordinates the solver reaches its limit of precision.
    s = np.diag([1 / 10, 1 / 10, 1.0]); c = q.mean(0); w = q.std()
    t = np.array([[1 / w, 0, -c[0] / w], [0, 1 / w, -c[1] / w], [0, 0, 1]])
    start, _ = cv2.findHomography(p, q, 0)
    h0 = t @ start @ np.linalg.inv(s); h0 /= h0[2, 2]
    pn, qn = apply(s, p), apply(t, q)
    res = lambda h: (apply(np.r_[h, 1].reshape(3, 3), pn) - qn).ravel()
    sol = least_squares(res, h0.ravel()[:8], method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15, max_nfev=20000)
    m = np.linalg.inv(t) @ np.r_[sol.x, 1].reshape(3, 3) @ s
    return m / m[2, 2]

cases = []
for n in (2, 3, 4, 5, 8, 12):
    for tilt in (0, 8, 25):
        m = tilted(tilt, rng.uniform(0, 360), rng.uniform(0, 360), rng.uniform(15, 90), rng.uniform(100, 300),
                   rng.uniform(800, 2500, 2))
        angle = rng.uniform(0, 2 * np.pi) + np.arange(n) * 2 * np.pi / n + rng.uniform(-0.4, 0.4, n)
        radius = rng.uniform(5, 14, n)
        p = np.c_[radius * np.cos(angle), radius * np.sin(angle)]
        q = apply(m, p) + rng.normal(0, 1.5, (n, 2))
        probe = rng.uniform(-10, 10, (5, 2))
        models = {"Similarity": SimilarityTransform.from_estimate(p, q).params}
        if n >= 3:
            models["Affine"] = affine_fit(p, q)
            other = cv2.getAffineTransform(p.astype(np.float32), q.astype(np.float32)) if n == 3 else None
            if other is not None:
                assert np.abs(apply(np.r_[other, [[0, 0, 1]]], p) - q).max() < 1e-2
        if n >= 4:
            models["Homography"] = homography_fit(p, q)
        cases.append({
            "on_side": p.tolist(), "in_picture": q.tolist(), "probe": probe.tolist(),
            "fits": {k: {"matrix": v.tolist(), "probe_in_picture": apply(v, probe).tolist()} for k, v in models.items()},
        })

made_by = f"numpy {np.__version__}, scipy {scipy.__version__}, scikit-image {skimage.__version__}, OpenCV {cv2.__version__}"
out = pathlib.Path(__file__).resolve().parents[1] / "data" / "fits" / "reference.json"
out.write_text(json.dumps({"made_by": made_by, "cases": cases}, indent=1))
print(made_by, len(cases), "cases")
