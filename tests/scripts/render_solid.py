#!/usr/bin/env python3
"""Renders scenes of solid coins with Mitsuba 3, a physically based renderer that knows nothing of this program.

    python3 -m venv /tmp/mitsuba && /tmp/mitsuba/bin/pip install mitsuba==3.9.1 numpy pillow
    /tmp/mitsuba/bin/python tests/scripts/render_solid.py SCENE_FOLDER... [--samples 64]

A scene folder is one that `cargo run -p dietell-mint -- solid DESIGN OUT --seed SEED --scene FOLDER` has written. Beside the
scene this writes `picture.jpg`, the picture (path tracing, rough silver, lamps as an environment), and `mitsuba.csv`: for
every landmark and zone of `truth.csv` where Mitsuba's own rays meet that point of the solid, in px of the upright
picture with the middle of the top left px at (0, 0), or nothing where another part hides it.

The solid is a mesh of the heights, a vertex a cell, so its walls stand over one cell as they do in the height map.
"""

import csv
import json
import sys
from pathlib import Path

import mitsuba as mi
import numpy as np
from PIL import Image

mi.set_variant("scalar_rgb")
from mitsuba import ScalarTransform4f as T  # noqa: E402 (needs the variant)

BACKDROPS = {
    "Studio": (0.055, 0.057, 0.061),
    "Wood": (0.25, 0.14, 0.07),
    "Cloth": (0.06, 0.085, 0.135),
    "Paper": (0.80, 0.775, 0.72),
    "Cluttered": (0.25, 0.14, 0.07),
    "LikeTheCoin": (0.60, 0.58, 0.545),
}
# How far the ground reaches, in mm from the coin's middle.
GROUND_MM = 300.0


def solid_mesh(scene, folder):
    """The heights as a mesh in the side's frame (z into the coin), the ground left out, its face and walls kept."""
    n = scene["cells"]
    heights = np.fromfile(folder / "heights.f32", "<f4").reshape(n, n)
    at = (np.arange(n) + 0.5) / scene["px_per_mm"] - scene["reach_mm"]
    x, y = np.meshgrid(at, at)
    points = np.stack([x, y, -heights], -1).reshape(-1, 3).astype("f4")
    corner = np.arange(n * n, dtype="u4").reshape(n, n)
    a, b, c, d = corner[:-1, :-1], corner[:-1, 1:], corner[1:, :-1], corner[1:, 1:]
    over = heights > scene["ground_mm"] + 1e-4
    keep = over[:-1, :-1] | over[:-1, 1:] | over[1:, :-1] | over[1:, 1:]
    faces = np.concatenate(
        [np.stack([a, b, c], -1)[keep], np.stack([b, d, c], -1)[keep]]
    ).astype("u4")
    mesh = mi.Mesh("coin", len(points), len(faces), props=coin_props(scene))
    values = mi.traverse(mesh)
    values["vertex_positions"] = points.ravel()
    values["faces"] = faces.ravel()
    values.update()
    return mesh, heights


def coin_props(scene):
    props = mi.Properties()
    wear = scene["wear"]
    silver = {
        "type": "roughconductor",
        "material": "none",
        "distribution": "ggx",
        "alpha": 0.14 + 0.16 * wear**0.5,
        "specular_reflectance": {"type": "rgb", "value": [0.86, 0.83, 0.775]},
    }
    worn = {"type": "diffuse", "reflectance": {"type": "rgb", "value": [0.5, 0.47, 0.42]}}
    blend = {"type": "blendbsdf", "weight": 0.12 + 0.2 * wear, "a": silver, "b": worn}
    props["bsdf"] = mi.load_dict({"type": "twosided", "bsdf": blend})
    return props


def build(scene, folder):
    mesh, heights = solid_mesh(scene, folder)
    rotation, shift = np.array(scene["rotation"]), np.array(scene["shift_mm"])
    # Side to camera: x right, y down, z away. Mitsuba's camera looks along +z with x to the left and y up.
    to_camera = np.eye(4)
    to_camera[:3, :3], to_camera[:3, 3] = rotation, shift
    turned = np.diag([-1.0, -1.0, 1.0, 1.0])
    camera_to_side = np.linalg.inv(turned @ to_camera)
    width, height = scene["size_px"]
    sensor = {
        "type": "perspective",
        "fov_axis": "x",
        "fov": float(np.degrees(2 * np.arctan(width / 2 / scene["focal_px"]))),
        # The axis meets the picture's middle in the mint's cameras.
        "to_world": T(camera_to_side),
        "near_clip": 1.0,
        "film": {"type": "hdrfilm", "width": width, "height": height, "rfilter": {"type": "gaussian", "stddev": 0.6}},
        "sampler": {"type": "independent", "sample_count": 1},
    }
    across, down = scene["around"]
    around = np.fromfile(folder / "around.f32", "<f4").reshape(down, across, 3)
    # Mitsuba's columns go round the other way; how its map's frame lies to the camera's it is asked.
    around = np.ascontiguousarray(around[:, ::-1])
    env_to_camera = environment_frame()
    env_to_side = np.eye(4)
    env_to_side[:3, :3] = rotation.T @ env_to_camera
    colour = BACKDROPS[scene["backdrop"]]
    ground = {
        "type": "rectangle",
        "to_world": T().translate([0, 0, -scene["ground_mm"]]).rotate([1, 0, 0], 180).scale(GROUND_MM),
        "bsdf": {"type": "twosided", "bsdf": {"type": "diffuse", "reflectance": {"type": "rgb", "value": list(colour)}}},
    }
    world = {
        "type": "scene",
        "integrator": {"type": "path", "max_depth": 4},
        "sensor": sensor,
        "coin": mesh,
        "ground": ground,
        "around": {"type": "envmap", "bitmap": mi.Bitmap(around), "to_world": T(env_to_side)},
    }
    return mi.load_dict(world), heights


def environment_frame():
    """The rotation from Mitsuba's map frame to the camera's, found by asking Mitsuba where a bright px of a map lies."""
    h, w = 64, 128
    seen = []
    for row, column in ((h // 4, w // 4), (h // 3, w // 2 + 9), (h // 2 + 5, 3 * w // 4 + 4)):
        probe = np.zeros((h, w, 3), "f4")
        probe[row, column] = 1000.0
        emitter = mi.load_dict({"type": "envmap", "bitmap": mi.Bitmap(probe)})
        # The direction in which the emitter is brightest, by a fine search.
        best, found = -1.0, None
        for theta in np.linspace(0.02, np.pi - 0.02, 120):
            for phi in np.linspace(0, 2 * np.pi, 240, endpoint=False):
                d = [np.sin(theta) * np.sin(phi), np.cos(theta), np.sin(theta) * np.cos(phi)]
                si = mi.SurfaceInteraction3f()
                si.wi = [-v for v in d]
                value = emitter.eval(si)[0]
                if value > best:
                    best, found = value, d
        theta, phi = np.pi * (row + 0.5) / h, 2 * np.pi * (w - column - 0.5) / w
        ours = [np.sin(theta) * np.sin(phi), -np.cos(theta), -np.sin(theta) * np.cos(phi)]
        seen.append((found, ours))
    a, b = (np.array([pair[k] for pair in seen]) for k in (0, 1))
    u, _, vt = np.linalg.svd(b.T @ a)
    if np.linalg.det(u @ vt) < 0:
        raise SystemExit("the surroundings are mirrored between the two renderers: that cannot be")
    off = np.abs(a @ (u @ vt).T - b).max()
    if off > 0.05:
        raise SystemExit(f"the surroundings cannot be brought into line: {off}")
    return u @ vt


def positions(world, scene, heights, folder):
    """Where Mitsuba's rays meet each point of the truth table, by Newton's steps on what the rays find."""
    rows = list(csv.DictReader(open(folder / "truth.csv", newline="")))
    sensor = world.sensors()[0]
    width, height = scene["size_px"]

    def met(px, py):
        ray, _ = sensor.sample_ray_differential(0.0, 0.5, [(px + 0.5) / width, (py + 0.5) / height], [0.5, 0.5])
        si = world.ray_intersect(ray)
        return np.array([si.p.x, si.p.y, si.p.z]) if si.is_valid() else None

    found = []
    for row in rows:
        target = np.array([float(row["x_mm"]), float(row["y_mm"])])
        # Begun at the middle of the picture, so that nothing is taken over from the mint's own answer.
        guess, off = np.array([width / 2, height / 2]), np.inf
        step = 1.0
        for _ in range(60):
            here = met(*guess)
            if here is None:
                break
            error = target - here[:2]
            off = np.hypot(*error)
            if off < 2e-4:
                break
            right, below = met(guess[0] + step, guess[1]), met(guess[0], guess[1] + step)
            if right is None or below is None:
                break
            jacobian = np.stack([right[:2] - here[:2], below[:2] - here[:2]], 1) / step
            if abs(np.linalg.det(jacobian)) < 1e-9:
                break
            # At flanks the surface's own slope makes steps too long.
            guess = guess + (0.7 if off < 0.3 else 1.0) * np.linalg.solve(jacobian, error)
            step = 0.2 if off < 0.3 else 1.0
        found.append((row, guess if off < 4e-3 else None))
    with open(folder / "mitsuba.csv", "w", newline="") as out:
        table = csv.writer(out)
        table.writerow(["what", "name", "x_px", "y_px"])
        for row, at in found:
            table.writerow([row["what"], row["name"], *(("", "") if at is None else (f"{v:.3f}" for v in at))])
    return found


def developed(picture):
    """Linear light to sRGB bytes, metered so that the middle of the picture is a middle tone, highlights softened."""
    light = np.array(picture)[:, :, :3]
    h, w = light.shape[:2]
    middle = light[h // 4 : 3 * h // 4, w // 4 : 3 * w // 4]
    light = light * 0.33 / max(float(np.minimum(middle, 6 * np.median(middle)).mean()), 1e-3)
    over = np.maximum(light - 0.5, 0.0) / 0.5
    light = np.where(light < 0.5, light, 0.5 + 0.5 * np.minimum(over / (1 + 0.72 * over), 1.0))
    srgb = np.where(light <= 0.0031308, 12.92 * light, 1.055 * np.maximum(light, 1e-6) ** (1 / 2.4) - 0.055)
    return (255 * np.clip(srgb, 0, 1) + 0.5).astype("u1")


def main(words):
    samples = 64
    if "--samples" in words:
        at = words.index("--samples")
        samples = int(words[at + 1])
        words = words[:at] + words[at + 2 :]
    for word in words:
        folder = Path(word)
        scene = json.load(open(folder / "scene.json"))
        world, heights = build(scene, folder)
        found = positions(world, scene, heights, folder)
        truth = {row["name"]: np.array([float(row["x_px"]), float(row["y_px"])]) for row, _ in found}
        off = [np.hypot(*(at - truth[row["name"]])) for row, at in found if at is not None]
        print(
            f"{folder.name}: {len(off)} of {len(found)} points met; from the mint's positions"
            f" {np.median(off):.3f} px in the median, {max(off):.3f} px at most",
            flush=True,
        )
        if samples:
            picture = mi.render(world, spp=samples)
            Image.fromarray(developed(picture)).save(folder / "picture.jpg", quality=88)


if __name__ == "__main__":
    main(sys.argv[1:])
