#!/usr/bin/env python3
"""Makes tests/data/pictures: small files written by Pillow, with what Pillow (libjpeg, LittleCMS) and OpenCV make
of them as reference values. Run it again only to change the cases; the tests read what is committed.

Versions that made the committed files are written to tests/data/pictures/made_with.txt.
"""

import io
import struct
import sys
from pathlib import Path

import cv2
import numpy as np
import PIL
import scipy
from PIL import Image, ImageCms, features

OUT = Path(__file__).resolve().parent.parent / "data" / "pictures"


def smooth_picture(width, height):
    """Sums of a few sines: nothing above a tenth of the sampling rate, so that kernels agree."""
    y, x = np.mgrid[0:height, 0:width].astype(np.float64)
    channels = [
        128 + 60 * np.sin(x / 9 + y / 23) + 50 * np.cos(y / 11),
        120 + 70 * np.cos(x / 13 - y / 17) + 40 * np.sin(x / 31),
        110 + 90 * np.sin((x + y) / 15) * np.cos((x - y) / 21),
    ]
    return np.clip(np.round(np.stack(channels, -1)), 0, 255).astype(np.uint8)


# ---- colour profiles -------------------------------------------------------------------------------------------

# Adapted to D50 by Bradford, from the primaries in the specifications (xy) and D65.
D50 = np.array([0.9642, 1.0, 0.8249])
BRADFORD = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])
P3 = [(0.680, 0.320), (0.265, 0.690), (0.150, 0.060)]  # SMPTE EG 432-1
ADOBE = [(0.640, 0.330), (0.210, 0.710), (0.150, 0.060)]  # Adobe RGB (1998) colour image encoding
D65 = (0.3127, 0.3290)


def xyz(xy):
    return np.array([xy[0] / xy[1], 1.0, (1 - xy[0] - xy[1]) / xy[1]])


def colorants(primaries):
    white = xyz(D65)
    p = np.stack([xyz(c) for c in primaries], -1)
    rgb_to_xyz = p * np.linalg.solve(p, white)
    cone = np.diag((BRADFORD @ D50) / (BRADFORD @ white))
    return np.linalg.inv(BRADFORD) @ cone @ BRADFORD @ rgb_to_xyz


def s15f16(v):
    return struct.pack(">i", int(round(v * 65536)))


def xyz_tag(v):
    return b"XYZ \0\0\0\0" + b"".join(s15f16(c) for c in v)


def text_tag(text):
    return b"mluc\0\0\0\0" + struct.pack(">II", 1, 12) + b"enUS" + struct.pack(">II", 2 * len(text), 28) + text.encode("utf-16-be")


SRGB_CURVE = b"para\0\0\0\0" + struct.pack(">HH", 3, 0) + b"".join(
    s15f16(v) for v in (2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)
)


def gamma_curve(gamma):
    return b"curv\0\0\0\0" + struct.pack(">IH", 1, int(round(gamma * 256))) + b"\0\0"


def profile(space, tags):
    """A matrix or grey profile by ICC.1:2010."""
    tags = [(b"desc", text_tag("test")), (b"cprt", text_tag("free")), (b"wtpt", xyz_tag(D50))] + tags
    offset = 128 + 4 + 12 * len(tags)
    table, body = struct.pack(">I", len(tags)), b""
    for name, data in tags:
        data += b"\0" * (-len(data) % 4)
        table += name + struct.pack(">II", offset + len(body), len(data))
        body += data
    size = 128 + len(table) + len(body)
    head = struct.pack(">I4sI4s4s4s", size, b"\0\0\0\0", 0x04300000, b"mntr", space, b"XYZ ")
    head += struct.pack(">6H", 2026, 1, 1, 0, 0, 0) + b"acsp" + b"\0" * 28
    head += b"".join(s15f16(c) for c in D50)
    head += b"\0" * (128 - len(head))
    return head + table + body


def rgb_profile(primaries, curve):
    m = colorants(primaries)
    tags = [(n, xyz_tag(m[:, i])) for i, n in enumerate((b"rXYZ", b"gXYZ", b"bXYZ"))]
    return profile(b"RGB ", tags + [(n, curve) for n in (b"rTRC", b"gTRC", b"bTRC")])


PROFILES = {
    "display_p3": rgb_profile(P3, SRGB_CURVE),
    "adobe_rgb": rgb_profile(ADOBE, gamma_curve(2.19921875)),
}


def to_srgb(image, icc):
    converted = ImageCms.profileToProfile(
        image,
        ImageCms.ImageCmsProfile(io.BytesIO(icc)),
        ImageCms.createProfile("sRGB"),
        renderingIntent=ImageCms.Intent.PERCEPTUAL,
        outputMode="RGB",
    )
    # The made sRGB profile carries the time of day; without it the files come out the same each time.
    converted.info.pop("icc_profile", None)
    return converted


def colour_cases():
    steps = np.linspace(0, 255, 12).round().astype(np.uint8)
    r, g, b = np.meshgrid(steps, steps, steps, indexing="ij")
    cube = np.stack([r, g, b], -1).reshape(36, 48, 3)
    for name, icc in PROFILES.items():
        image = Image.fromarray(cube)
        image.save(OUT / f"colour_{name}.png", icc_profile=icc)
        to_srgb(image, icc).save(OUT / f"colour_{name}.srgb.png")
    # A JPEG and others carry the profile each in its own way: flat patches, so that the codec adds nothing.
    patches = np.kron(cube[::9, ::12], np.ones((16, 16, 1), np.uint8))
    icc = PROFILES["display_p3"]
    jpeg = io.BytesIO()
    Image.fromarray(patches).save(jpeg, "JPEG", quality=100, subsampling=0, icc_profile=icc)
    (OUT / "colour_in_jpeg.jpg").write_bytes(jpeg.getvalue())
    to_srgb(Image.open(jpeg), icc).save(OUT / "colour_in_jpeg.srgb.png")
    Image.fromarray(patches).save(OUT / "colour_in_tiff.tif", icc_profile=icc, compression="tiff_deflate")
    Image.fromarray(patches).save(OUT / "colour_in_webp.webp", lossless=True, icc_profile=icc)
    to_srgb(Image.fromarray(patches), icc).save(OUT / "colour_in_tiff.srgb.png")
    grey = np.tile(np.arange(256, dtype=np.uint8), (4, 1))
    grey_icc = profile(b"GRAY", [(b"kTRC", gamma_curve(1.8))])
    Image.fromarray(grey).save(OUT / "colour_grey.png", icc_profile=grey_icc)
    to_srgb(Image.fromarray(grey), grey_icc).save(OUT / "colour_grey.srgb.png")
    Image.fromarray(patches).save(OUT / "colour_broken_profile.png", icc_profile=icc[:90] + b"nonsense")
    Image.fromarray(patches).save(OUT / "colour_profile_of_grey.png", icc_profile=grey_icc)


# ---- turn flags ------------------------------------------------------------------------------------------------

def turn_cases():
    """An upright picture 24 x 16 px of flat 8 px blocks, stored turned, with the flag that brings it upright."""
    rng = np.random.default_rng(7)
    blocks = rng.integers(30, 226, (2, 3, 3), dtype=np.uint8)
    upright = Image.fromarray(np.kron(blocks, np.ones((8, 8, 1), np.uint8)))
    upright.save(OUT / "turn_upright.png")
    t = Image.Transpose
    # What undoes the flag's turn (EXIF 2.3, tag 0x0112); ImageOps.exif_transpose below checks it independently.
    undo = {1: None, 2: t.FLIP_LEFT_RIGHT, 3: t.ROTATE_180, 4: t.FLIP_TOP_BOTTOM, 5: t.TRANSPOSE, 6: t.ROTATE_90, 7: t.TRANSVERSE, 8: t.ROTATE_270}
    from PIL import ImageOps

    for flag, how in undo.items():
        stored = upright if how is None else upright.transpose(how)
        exif = Image.Exif()
        exif[0x0112] = flag
        stored.save(OUT / f"turn_{flag}.jpg", quality=100, subsampling=0, exif=exif)
        seen = np.asarray(ImageOps.exif_transpose(Image.open(OUT / f"turn_{flag}.jpg"))).astype(int)
        assert np.abs(seen - np.asarray(upright)).max() <= 2, flag
    exif = Image.Exif()
    exif[0x0112] = 6
    stored = upright.transpose(t.ROTATE_90)
    stored.save(OUT / "turn_6.png", exif=exif)
    stored.save(OUT / "turn_6.webp", lossless=True, exif=exif)
    stored.save(OUT / "turn_6.tif", tiffinfo={274: 6})


# ---- kinds -----------------------------------------------------------------------------------------------------

def kind_cases():
    ramp = np.tile(np.linspace(0, 255, 16).round().astype(np.uint8), (8, 1))
    rgb = np.stack([ramp, 255 - ramp, ramp // 2], -1)
    Image.fromarray(ramp).save(OUT / "kind_grey8.png")
    cv2.imwrite(str(OUT / "kind_grey16.png"), ramp.astype(np.uint16) * 257)
    cv2.imwrite(str(OUT / "kind_rgb16.png"), rgb[..., ::-1].astype(np.uint16) * 257)
    cv2.imwrite(str(OUT / "kind_rgb16.tif"), rgb[..., ::-1].astype(np.uint16) * 257)
    Image.fromarray(rgb).quantize(64).save(OUT / "kind_palette.png")
    Image.fromarray(rgb).quantize(64).convert("RGB").save(OUT / "kind_palette.rgb.png")
    alpha = np.dstack([rgb, np.tile(np.linspace(0, 255, 8).round().astype(np.uint8)[:, None], (1, 16))])
    Image.fromarray(alpha).save(OUT / "kind_alpha.png")
    white = Image.new("RGBA", (16, 8), "white")
    white.alpha_composite(Image.fromarray(alpha))
    white.convert("RGB").save(OUT / "kind_alpha.rgb.png")
    Image.fromarray(rgb).save(OUT / "kind_rgb8.png")
    Image.fromarray(np.kron(rgb, np.ones((8, 8, 1), np.uint8))).convert("CMYK").save(OUT / "kind_cmyk.jpg", quality=100)
    Image.open(OUT / "kind_cmyk.jpg").convert("RGB").save(OUT / "kind_cmyk.rgb.png")
    smooth = Image.fromarray(smooth_picture(200, 150))
    smooth.save(OUT / "whole.jpg", quality=90)
    smooth.save(OUT / "whole_progressive.jpg", quality=90, progressive=True)
    smooth.crop((0, 0, 60, 40)).save(OUT / "whole.tif", compression="tiff_lzw")
    smooth.crop((0, 0, 60, 40)).save(OUT / "whole.webp", quality=90)
    smooth.crop((0, 0, 60, 40)).save(OUT / "whole.png")


# ---- crops -----------------------------------------------------------------------------------------------------

# Crop px to picture px: turned and scaled, sheared, in perspective, shrunk.
WARPS = {
    "turned": [[0.8, -0.5, 60.3], [0.5, 0.8, 20.7], [0, 0, 1]],
    "sheared": [[1.1, 0.2, 12.25], [-0.1, 0.7, 30.5], [0, 0, 1]],
    "perspective": [[0.9, 0.1, 20.0], [-0.2, 1.0, 35.0], [0.0008, -0.0006, 1]],
    "magnified": [[0.25, 0.0, 100.125], [0.0, 0.25, 70.375], [0, 0, 1]],
}


def warp_cases():
    picture = smooth_picture(240, 200)
    Image.fromarray(picture).save(OUT / "warp_picture.png")
    lines = []
    for name, m in WARPS.items():
        m = np.array(m, np.float64)
        out = cv2.warpPerspective(
            picture.astype(np.float32), m, (96, 80), flags=cv2.INTER_CUBIC | cv2.WARP_INVERSE_MAP, borderMode=cv2.BORDER_CONSTANT
        )
        Image.fromarray(np.clip(np.round(out), 0, 255).astype(np.uint8)).save(OUT / f"warp_{name}.png")
        lines.append(name + "," + ",".join(repr(float(v)) for v in m.ravel()))
    (OUT / "warps.csv").write_text("\n".join(lines) + "\n")


# ---- sharpness -------------------------------------------------------------------------------------------------

BLURS = (0.7, 1.0, 1.5, 2.0, 3.0, 4.5)


def sharpness_cases():
    """Overlapping polygons with straight edges, drawn 8 times as large, blurred there by SciPy's gaussian_filter, meaned
    down, with grain of 1.5 levels. The name states the blur in px of the small picture, without the pixel's own box."""
    from PIL import ImageDraw
    from scipy.ndimage import gaussian_filter

    large, small = 8 * 160, 160
    rng = np.random.default_rng(3)
    image = Image.new("L", (large, large), 120)
    draw = ImageDraw.Draw(image)
    for _ in range(14):
        centre, radius = rng.uniform(0, large, 2), rng.uniform(0.12, 0.3) * large
        angles = np.sort(rng.uniform(0, 2 * np.pi, 4))
        corners = [tuple(centre + radius * np.array([np.cos(a), np.sin(a)])) for a in angles]
        draw.polygon(corners, fill=int(rng.integers(40, 216)))
    sharp = np.asarray(image, np.float64)
    for blur in BLURS:
        soft = gaussian_filter(sharp, 8 * blur).reshape(small, 8, small, 8).mean((1, 3))
        noisy = np.clip(np.round(soft + rng.normal(0, 1.5, soft.shape)), 0, 255).astype(np.uint8)
        Image.fromarray(noisy).save(OUT / f"blur_{blur:.1f}.png")


def main():
    OUT.mkdir(parents=True, exist_ok=True)
    colour_cases()
    turn_cases()
    kind_cases()
    warp_cases()
    sharpness_cases()
    made = f"Python {sys.version.split()[0]}, Pillow {PIL.__version__}, LittleCMS {features.version('littlecms2')}, OpenCV {cv2.__version__}, NumPy {np.__version__}, SciPy {scipy.__version__}\n"
    (OUT / "made_with.txt").write_text(made)


if __name__ == "__main__":
    main()
