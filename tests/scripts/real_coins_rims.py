"""Where the 24 coins of scikit-image's coins.png lie, by scikit-image alone, to hold the rim finder to.

The segmentation is the one of scikit-image's own guide ("Comparing edge-based and region-based segmentation"): Sobel
elevation, markers below 30 and above 150, watershed; then each region's ellipse of equal second moments. Writes
tests/data/real_coins_rims.csv: centre and half axes in px. Run from the repository's root:
python3 tests/scripts/real_coins_rims.py
"""

import pathlib

import numpy as np
from scipy import ndimage
from skimage.filters import sobel
from skimage.io import imread
from skimage.measure import label, regionprops
from skimage.segmentation import watershed

tests = pathlib.Path(__file__).parent.parent
picture = imread(tests / "data" / "pictures" / "coins.png")
markers = np.zeros_like(picture, dtype=int)
markers[picture < 30] = 1
markers[picture > 150] = 2
coins = ndimage.binary_fill_holes(watershed(sobel(picture), markers) == 2)
rows = []
for region in regionprops(label(coins)):
    if region.area > 500:
        y, x = region.centroid
        rows.append((x, y, region.axis_major_length / 2, region.axis_minor_length / 2))
assert len(rows) == 24, len(rows)
with open(tests / "data" / "real_coins_rims.csv", "w") as out:
    out.write("x,y,long_px,short_px\n")
    for row in rows:
        out.write(",".join(f"{v:.2f}" for v in row) + "\n")
