#!/usr/bin/env python3
"""Makes the benchmark's photos, and times OpenCV on them.

    bench_opencv.py make DIR           writes photo_12mp.jpg and photo_48mp.jpg
    bench_opencv.py time DIR THREADS   prints 'name,milliseconds' lines: medians

The photos are drawn: a disc with a turned texture of lines and dots, sensor noise, quality 92, 4:2:0. Their bytes a
pixel (printed by make) are like those of phone photos.
"""

import sys
import time
from pathlib import Path

import cv2
import numpy as np

# Crop px to picture px of the benchmark's twelve crops; tests/benches/pictures.rs has the same numbers.
CROP_PX = 512
STEP = 0.9
TURN_DEG = 23.0
PERSPECTIVE = 2e-5


def crop_matrices(width, height):
    t = np.deg2rad(TURN_DEG)
    a, b = STEP * np.cos(t), STEP * np.sin(t)
    out = []
    for i in range(12):
        cx, cy = width * (0.3 + 0.13 * (i % 4)), height * (0.3 + 0.2 * (i // 4))
        out.append(np.array([[a, -b, cx], [b, a, cy], [PERSPECTIVE, -PERSPECTIVE, 1.0]]))
    return out


def photo(width, height, seed):
    rng = np.random.default_rng(seed)
    y, x = np.mgrid[0:height, 0:width].astype(np.float32)
    cx, cy, radius = width / 2, height / 2, 0.42 * height
    r = np.hypot(x - cx, y - cy) / radius
    angle = np.arctan2(y - cy, x - cx)
    scale = height / 3000
    relief = 30 * np.sin(90 * angle) * (r > 0.9) + 25 * np.sin(x / (11 * scale)) * np.sin(y / (13 * scale))
    relief += cv2.GaussianBlur(rng.normal(0, 1, (height, width)).astype(np.float32), (0, 0), 2.5 * scale) * 90 * scale
    value = np.where(r < 1, 130 + relief + 30 * np.cos(angle - 2), 60 + 20 * np.sin(x / 200))
    value = value + rng.normal(0, 4.5, value.shape)
    tint = np.array([0.85, 0.97, 1.08], np.float32)
    return np.clip(value[..., None] * tint, 0, 255).astype(np.uint8)


def make(folder):
    folder.mkdir(parents=True, exist_ok=True)
    for name, size in (("photo_12mp", (4000, 3000)), ("photo_48mp", (8000, 6000))):
        path = folder / f"{name}.jpg"
        cv2.imwrite(str(path), photo(*size, 5), [cv2.IMWRITE_JPEG_QUALITY, 92])
        print(f"{path}: {path.stat().st_size / size[0] / size[1]:.3f} bytes a pixel")


def median_ms(run, repeats):
    run()
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return 1000 * float(np.median(times))


def measure(folder, threads):
    cv2.setNumThreads(threads)
    for name in ("photo_12mp", "photo_48mp"):
        path = str(folder / f"{name}.jpg")
        print(f"open_{name[6:]},{median_ms(lambda p=path: cv2.imread(p), 9):.2f}")
    picture = cv2.imread(str(folder / "photo_12mp.jpg"))
    matrices = crop_matrices(picture.shape[1], picture.shape[0])
    for name, flag in (("linear", cv2.INTER_LINEAR), ("cubic", cv2.INTER_CUBIC)):
        def crops():
            for m in matrices:
                cv2.warpPerspective(picture, m, (CROP_PX, CROP_PX), flags=flag | cv2.WARP_INVERSE_MAP)

        print(f"crops_{name},{median_ms(crops, 31):.2f}")
    # The nearest that OpenCV has: local mean and spread by box filters, three times over as ours, on the same crop.
    grey = cv2.cvtColor(picture[1000:1512, 1500:2012], cv2.COLOR_BGR2GRAY)

    def even():
        value = grey.astype(np.float32)
        mean, square = value, value * value
        for _ in range(3):
            mean = cv2.blur(mean, (49, 49), borderType=cv2.BORDER_REPLICATE)
            square = cv2.blur(square, (49, 49), borderType=cv2.BORDER_REPLICATE)
        spread = np.sqrt(np.maximum(square - mean * mean, 0))
        return np.clip(128 + (value - mean) * (40 / np.maximum(spread, 10)), 0, 255).astype(np.uint8)

    print(f"even_light,{median_ms(even, 31):.3f}")


if __name__ == "__main__":
    if sys.argv[1] == "make":
        make(Path(sys.argv[2]))
    else:
        measure(Path(sys.argv[2]), int(sys.argv[3]))
