#!/usr/bin/env python3
"""Learns the weights of src/align/rim_find/network.rs from photos of minted coins.

    cargo bench --bench tables -- rim-photos folder
    tests/scripts/learn_rim.py learn folder src/align/rim_find/weights.bin [--rounds 20] [--from weights.bin]
    tests/scripts/learn_rim.py check src/align/rim_find/weights.bin > tests/data/rim_network.csv

Needs python3 with jax, numpy and pillow. An hour on two cores, less when it starts from weights. The ring is that of
src/align/rim_find/strip.rs, the layers are those of network.rs; `check` writes what jax reads from a made-up ring, to
which a test holds the Rust code.

What keeps the network from learning the mint instead of coins: each ring lies about a wrong ellipse, inside and
outside of the outline are stretched (a wider or narrower fall of the flan's edge, border and shadow), brightness,
contrast and colour are changed, and a third of the rings come from the photo made 2 to 16 times smaller. Every fifth
ring holds no outline at all and must be read as such. The real coins of tests/data/pictures are never learnt from.

The weights in the repository: 757 photos, about 20 rounds in three parts with ever wider errors of the first ellipse.
"""
import argparse
import glob
import sys
from multiprocessing import Pool

import numpy as np

# The ring: see strip.rs.
SECTORS, RAYS, COLUMNS, LEAST, STEP = 72, 360, 200, 0.8, 0.002
RADII = LEAST + STEP * np.arange(COLUMNS)
TURNS = np.arange(RAYS) * 2 * np.pi / RAYS
DARK = 0.004
LEVELS = np.arange(256) / 255.0
LIGHT = np.where(LEVELS <= 0.04045, LEVELS / 12.92, ((LEVELS + 0.055) / 1.055) ** 2.4).astype(np.float32)

# The network: (sectors, columns, columns apart) of each layer, see network.rs.
HIDDEN, CHANNELS = 16, 4
LAYERS = [(3, 5, 1), (1, 5, 2), (3, 5, 4), (1, 5, 8), (1, 1, 1)]

# Learning.
RINGS_A_PHOTO = 9
ARC = 24  # sectors of a ring that are learnt from at once
AROUND = 2  # sectors each side that the layers look at
BATCH = 16
RATE = 2.5e-3
BLUR = 0.8  # columns by which the truth is blurred


def reach(ellipse, turns):
    """Distance from the centre to the edge; an ellipse is centre x, y, long, short half axis, turn in degrees."""
    turn = np.radians(ellipse[4])
    return 1 / np.hypot(np.cos(turns - turn) / ellipse[2], np.sin(turns - turn) / ellipse[3])


def radius_in(ellipse, x, y):
    """Radius of points as a share of the ellipse's reach."""
    turn = np.radians(ellipse[4])
    x, y = x - ellipse[0], y - ellipse[1]
    return np.hypot(
        (x * np.cos(turn) + y * np.sin(turn)) / ellipse[2], (y * np.cos(turn) - x * np.sin(turn)) / ellipse[3]
    )


def crossing(about, outline):
    """For each ray from the first ellipse's centre the radius, in shares of its reach, at which it meets the other."""
    turn = np.radians(outline[4])
    cos, sin = np.cos(turn), np.sin(turn)
    dx, dy = about[0] - outline[0], about[1] - outline[1]
    x, y = (cos * dx + sin * dy) / outline[2], (cos * dy - sin * dx) / outline[3]
    u = (cos * np.cos(TURNS) + sin * np.sin(TURNS)) / outline[2]
    v = (cos * np.sin(TURNS) - sin * np.cos(TURNS)) / outline[3]
    a, b, c = u * u + v * v, x * u + y * v, x * x + y * y - 1
    return (np.sqrt(np.maximum(b * b - a * c, 0)) - b) / a / reach(about, TURNS)


def places(about, radii):
    across = reach(about, TURNS)[:, None] * radii
    return about[0] + across * np.cos(TURNS)[:, None], about[1] + across * np.sin(TURNS)[:, None]


def ring(photo, about, radii=RADII[None]):
    """Values [sector, column, channel] and whether inside [sector, column], as `Strip::about` makes them."""
    x, y = places(about, np.broadcast_to(radii, (RAYS, COLUMNS)))
    height, width = photo.shape[:2]
    inside = (x >= 0) & (y >= 0) & (x <= width - 1) & (y <= height - 1)
    x, y = np.clip(x, 0, width - 1.001), np.clip(y, 0, height - 1.001)
    i, j = x.astype(int), y.astype(int)
    fx, fy = ((x - i)[..., None]).astype(np.float32), ((y - j)[..., None]).astype(np.float32)
    upper = LIGHT[photo[j, i]] * (1 - fx) + LIGHT[photo[j, i + 1]] * fx
    lower = LIGHT[photo[j + 1, i]] * (1 - fx) + LIGHT[photo[j + 1, i + 1]] * fx
    light = (upper * (1 - fy) + lower * fy).reshape(SECTORS, -1, COLUMNS, 3).mean(1) + DARK
    inside = inside.reshape(SECTORS, -1, COLUMNS).all(1)
    luminance = light @ np.array([0.2126, 0.7152, 0.0722], np.float32)
    red, green, blue = np.moveaxis(light, -1, 0)
    values = np.stack(
        [np.log(luminance), 2 * np.sqrt(luminance), 2 * np.log(red / green), 2 * np.log(blue / green)], -1
    )
    if inside.any():
        values -= values[inside].mean(0)
    values[~inside] = 0
    return values.astype(np.float16), inside


def halved(photo):
    height, width = photo.shape[0] // 2 * 2, photo.shape[1] // 2 * 2
    four = photo[:height, :width].astype(np.uint16)
    return ((four[::2, ::2] + four[1::2, ::2] + four[::2, 1::2] + four[1::2, 1::2] + 2) // 4).astype(np.uint8)


def in_level(ellipse, level):
    scale = 0.5**level
    x, y, long, short, turn = ellipse
    return [(x + 0.5) * scale - 0.5, (y + 0.5) * scale - 0.5, long * scale, short * scale, turn]


def wrong(outline, rng):
    """An ellipse as a search might give it: half of them far off."""
    far = rng.random() < 0.5
    radius = np.sqrt(outline[2] * outline[3])
    x, y = outline[:2] + rng.normal(0, 0.045 if far else 0.006, 2) * radius
    growth = np.clip(np.exp(rng.normal(0, 0.05 if far else 0.012)), 0.88, 1.13)
    stretch = np.exp(rng.normal(0, 0.035 if far else 0.006))
    long, short, turn = outline[2] * growth * stretch, outline[3] * growth / stretch, outline[4] + rng.normal(0, 8)
    return [x, y, long, short, turn] if long >= short else [x, y, short, long, turn + 90]


def elsewhere(outline, shape, rng):
    """An ellipse whose ring holds none of the outline: within the coin, about it or beside it; None where chance finds
    none."""
    radius = np.sqrt(outline[2] * outline[3])
    for _ in range(20):
        growth = rng.uniform(0.3, 0.85) if rng.random() < 0.7 else rng.uniform(1.25, 1.8)
        if rng.random() < 0.5:
            x, y = rng.uniform(0, shape[1]), rng.uniform(0, shape[0])
        else:
            x, y = outline[:2] + rng.normal(0, 0.05, 2) * radius
        about = [x, y, radius * growth, radius * growth * rng.uniform(0.85, 1), rng.uniform(0, 180)]
        away = radius_in(outline, *places(about, np.linspace(RADII[0], RADII[-1], 9)[None]))
        if away.max() < 0.97 or away.min() > 1.03:
            return about
    return None


def rings_of(job):
    """Rings of one photo: values, inside, the true column (below zero: none), whether it can be seen."""
    from PIL import Image

    folder, number, outline = job
    rng = np.random.default_rng(number)
    levels = [np.asarray(Image.open(f"{folder}/{number}.png").convert("RGB"))]
    while len(levels) < 5:
        levels.append(halved(levels[-1]))
    found = []
    for _ in range(RINGS_A_PHOTO):
        level = 0 if rng.random() < 0.65 else int(rng.integers(1, 5))
        photo, truth = levels[level], in_level(outline, level)
        if rng.random() < 0.22:
            about = elsewhere(truth, photo.shape, rng)
            values, inside = ring(photo, about) if about else (None, np.zeros(1))
            if inside.mean() > 0.4:
                found.append((values, inside, np.full(SECTORS, -1, np.float32), np.ones(SECTORS, bool)))
            continue
        about = wrong(truth, rng)
        at = crossing(about, truth)
        if at.min() < 0.82 or at.max() > 1.18:
            continue
        within, without = np.exp(rng.normal(0, 0.2, 2)) if rng.random() < 0.6 else (1, 1)
        off = RADII[None] - at[:, None]
        values, inside = ring(photo, about, at[:, None] + off * np.where(off < 0, within, without))
        column = ((at.reshape(SECTORS, -1).mean(1) - LEAST) / STEP).astype(np.float32)
        seen = inside[np.arange(SECTORS), np.clip(np.round(column).astype(int), 0, COLUMNS - 1)]
        found.append((values, inside, column, seen))
    return found


def all_rings(folder):
    jobs = []
    for path in glob.glob(f"{folder}/[0-9]*.txt"):
        words = open(path).readline().split()
        jobs.append((folder, int(words[0]), [float(v) for v in words[1:6]]))
    with Pool() as pool:
        found = [r for rings in pool.imap(rings_of, sorted(jobs), chunksize=4) for r in rings]
    return [np.stack(part) for part in zip(*found)]


def logits(weights, values):
    """[ring, sector + 2 AROUND, column, channel] to [ring, sector, column]."""
    import jax

    for (_, columns, apart), (kernel, added) in zip(LAYERS, weights[:-1]):
        pad = apart * (columns - 1) // 2
        values = jax.nn.relu(
            added
            + jax.lax.conv_general_dilated(
                values,
                kernel,
                (1, 1),
                [(0, 0), (pad, pad)],
                rhs_dilation=(1, apart),
                dimension_numbers=("NHWC", "HWIO", "NHWC"),
            )
        )
    return values @ weights[-1]


def learn(folder, out, rounds, start):
    import jax
    import jax.numpy as jnp

    values, inside, column, seen = all_rings(folder)
    print(len(values), "rings", flush=True)
    rng = np.random.default_rng(1)
    if start:
        weights = read_weights(start)
    else:
        weights = []
        inputs = CHANNELS
        for sectors, columns, _ in LAYERS:
            shape = (sectors, columns, inputs, HIDDEN)
            deviation = np.sqrt(2 / np.prod(shape[:-1]))  # K. He et al., ICCV 2015
            weights.append((rng.normal(0, deviation, shape).astype(np.float32), np.zeros(HIDDEN, np.float32)))
            inputs = HIDDEN
        weights.append(rng.normal(0, 0.03, HIDDEN).astype(np.float32))
    weights = jax.tree.map(jnp.asarray, weights)

    def loss(weights, x, inside, column, seen):
        spoken = jax.nn.log_softmax(jnp.where(inside, logits(weights, x), -30.0), -1)
        there = jnp.exp(-0.5 * ((jnp.arange(COLUMNS) - column[..., None]) / BLUR) ** 2)
        truth = jnp.where(column[..., None] < 0, inside * 1.0, there)
        truth /= jnp.maximum(truth.sum(-1, keepdims=True), 1e-6)
        return -((truth * spoken).sum(-1) * seen).sum() / jnp.maximum(seen.sum(), 1)

    @jax.jit
    def step(weights, mean, square, n, rate, *batch):
        # Adam: D. Kingma & J. Ba, ICLR 2015.
        value, slope = jax.value_and_grad(loss)(weights, *batch)
        mean = jax.tree.map(lambda m, g: 0.9 * m + 0.1 * g, mean, slope)
        square = jax.tree.map(lambda s, g: 0.99 * s + 0.01 * g * g, square, slope)
        weights = jax.tree.map(
            lambda w, m, s: w - rate * (m / (1 - 0.9**n)) / (jnp.sqrt(s / (1 - 0.99**n)) + 1e-7), weights, mean, square
        )
        return weights, mean, square, value

    mean = square = jax.tree.map(jnp.zeros_like, weights)
    steps, recent = int(rounds * len(values) / BATCH), []
    for n in range(1, steps + 1):
        which = rng.integers(0, len(values), BATCH)
        sectors = (rng.integers(0, SECTORS, BATCH)[:, None] + np.arange(ARC + 2 * AROUND)) % SECTORS
        if rng.random() < 0.5:
            sectors = sectors[:, ::-1]
        x = values[which[:, None], sectors].astype(np.float32)
        x[..., 2:] *= rng.uniform(0.3, 1.5, (BATCH, 1, 1, 1))
        x *= np.exp(rng.normal(0, 0.15, (BATCH, 1, 1, 1)))
        x += rng.normal(0, 0.15, (BATCH, 1, 1, CHANNELS))
        x += rng.normal(0, 0.02, x.shape) * rng.random((BATCH, 1, 1, 1))
        at = which[:, None], sectors[:, AROUND:-AROUND]
        rate = RATE * min(1, n / 100) * (0.5 * (1 + np.cos(np.pi * n / steps)) + 0.01)
        weights, mean, square, value = step(
            weights, mean, square, n, rate, x, inside[at], column[at], seen[at].astype(np.float32)
        )
        recent.append(float(value))
        if n % 100 == 0:
            print(n, "of", steps, "loss", round(np.mean(recent[-100:]), 3), flush=True)
            write_weights(out, weights)
    write_weights(out, weights)


def write_weights(path, weights):
    parts = [np.asarray(part).ravel() for layer in weights[:-1] for part in layer] + [np.asarray(weights[-1])]
    np.concatenate(parts).astype("<f4").tofile(path)


def read_weights(path):
    numbers, weights, inputs = np.fromfile(path, "<f4"), [], CHANNELS
    for sectors, columns, _ in LAYERS:
        size = sectors * columns * inputs * HIDDEN
        kernel, added, numbers = numbers[:size], numbers[size : size + HIDDEN], numbers[size + HIDDEN :]
        weights.append((kernel.reshape(sectors, columns, inputs, HIDDEN), added))
        inputs = HIDDEN
    weights.append(numbers)
    return weights


def check(path):
    sector, column, channel = np.ogrid[:SECTORS, :COLUMNS, :CHANNELS]
    values = np.sin(0.37 * sector + 0.11 * column * (channel + 1)) * np.cos(0.05 * column - channel)
    around = np.concatenate([values[-AROUND:], values, values[:AROUND]]).astype(np.float32)
    read = np.asarray(logits(read_weights(path), around[None]))[0]
    print("sector,column,logit")
    for sector in (0, 1, 35, 70, 71):
        for column in (0, 3, 17, 99, 150, 199):
            print(f"{sector},{column},{read[sector, column]:.5f}")


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parts = parser.add_subparsers(dest="part", required=True)
    part = parts.add_parser("learn")
    part.add_argument("folder")
    part.add_argument("out")
    part.add_argument("--rounds", type=float, default=20)
    part.add_argument("--from", dest="start")
    part = parts.add_parser("check")
    part.add_argument("weights")
    arguments = parser.parse_args()
    if arguments.part == "learn":
        learn(arguments.folder, arguments.out, arguments.rounds, arguments.start)
    else:
        check(arguments.weights)


if __name__ == "__main__":
    sys.exit(main())
