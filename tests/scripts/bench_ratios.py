#!/usr/bin/env python3
"""Reads the lines of bench_pictures.sh, prints the best round's medians and the ratios."""

import re
import sys

OURS = {
    "photo_12mp.jpg": "open_12mp",
    "photo_48mp.jpg": "open_48mp",
    "twelve_crops": "crops_cubic",
    "even_the_light": "even_light",
}
UNIT = {"ns": 1e-6, "µs": 1e-3, "ms": 1.0, "s": 1e3}

found = {}
for line in sys.stdin:
    who, threads, rest = line.rstrip("\n").split(",", 2)
    if who == "opencv":
        name, value = rest.split(",")
        ms = float(value)
    else:
        # name, fastest | slowest | median | mean | ...
        columns = re.split(r"[│|]", re.sub(r"^[│├╰─ ]+", "", rest))
        if len(columns) < 4:
            continue
        name = OURS.get(columns[0].split()[0] if columns[0].split() else "")
        median = re.match(r"\s*([0-9.]+) (\S+)", columns[2])
        if name is None or median is None:
            continue
        ms = float(median[1]) * UNIT[median[2]]
    key = (threads, name, who)
    found[key] = min(found.get(key, ms), ms)

for threads, name in sorted({(t, n) for t, n, _ in found}):
    ours, theirs = found.get((threads, name, "ours")), found.get((threads, name, "opencv"))
    if ours is not None and theirs is not None:
        print(f"{threads} thread(s)  {name:14} ours {ours:8.2f} ms  OpenCV {theirs:8.2f} ms  ratio {ours / theirs:.2f}")
for threads in sorted({t for t, _, _ in found}):
    ours, theirs = found.get((threads, "crops_cubic", "ours")), found.get((threads, "crops_linear", "opencv"))
    if ours is not None and theirs is not None:
        print(f"{threads} thread(s)  our cubic crops against OpenCV's bilinear: ratio {ours / theirs:.2f}")
