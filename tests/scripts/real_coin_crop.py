"""A crop of one coin of scikit-image's coins.png by OpenCV, to hold the program's own crop to.

Writes tests/data/real_coin_crop_opencv.png: 34 mm square at 6 px/mm, for a picture of 2 px/mm in which the side's
downward axis points right. Run from the repository's root: python3 tests/scripts/real_coin_crop.py
"""

import pathlib

import cv2
import numpy as np

tests = pathlib.Path(__file__).parent.parent
picture = cv2.imread(str(tests / "data" / "pictures" / "coins.png"), cv2.IMREAD_GRAYSCALE)
edge, px_per_mm = 204, 6.0
v, u = np.mgrid[0:edge, 0:edge].astype(np.float32)
side_x, side_y = (u - (edge - 1) / 2) / px_per_mm, (v - (edge - 1) / 2) / px_per_mm
x, y = 334.25 + 2.0 * side_y, 44.0 - 2.0 * side_x
crop = cv2.remap(picture, x.astype(np.float32), y.astype(np.float32), cv2.INTER_CUBIC)
cv2.imwrite(str(tests / "data" / "real_coin_crop_opencv.png"), crop)
