#!/usr/bin/env bash
# Times opening photos, cutting crops and evening the light beside OpenCV on the same photos with the same number of
# threads, both in turn, and prints medians and ratios (ours / OpenCV's; below 1 is quicker). Then the peak memory.
# Needs python3 with opencv-python and numpy.  Usage: tests/scripts/bench_pictures.sh [ROUNDS]
set -euo pipefail
cd "$(dirname "$0")/../.."
rounds=${1:-3}
photos=$(mktemp -d)
trap 'rm -rf "$photos"' EXIT
python3 tests/scripts/bench_opencv.py make "$photos"
binary=$(cargo bench --bench pictures --no-run --message-format=json 2>/dev/null |
    python3 -c 'import json,sys; print([e for e in (json.loads(l).get("executable") for l in sys.stdin if l.startswith("{")) if e and "pictures" in e][-1])')
export DIETELL_BENCH_PHOTOS=$photos
for threads in 1 2; do
    for _ in $(seq "$rounds"); do
        python3 tests/scripts/bench_opencv.py time "$photos" "$threads" | sed "s/^/opencv,$threads,/"
        RAYON_NUM_THREADS=$threads "$binary" --bench | sed "s/^/ours,$threads,/"
    done
done | tee "$photos/log" | python3 tests/scripts/bench_ratios.py
for name in photo_12mp photo_48mp; do
    printf '%s, opened: ' "$name"
    DIETELL_PEAK_OF=$photos/$name.jpg "$binary"
    python3 -c "
import sys
from PIL import Image
exif = Image.Exif(); exif[0x0112] = 6
Image.MAX_IMAGE_PIXELS = None
Image.open(sys.argv[1]).save(sys.argv[2], quality=92, exif=exif)" "$photos/$name.jpg" "$photos/turned.jpg"
    printf '%s, opened with turn flag 6: ' "$name"
    DIETELL_PEAK_OF=$photos/turned.jpg "$binary"
done
