#!/usr/bin/env python3
"""Makes the program's two font files from the static TTFs of Inter 4 (SIL Open Font License 1.1).

    npm pack @expo-google-fonts/inter && tar xzf expo-google-fonts-inter-*.tgz
    python3 tests/scripts/make_fonts.py package src/fonts

Each is cut down to the European scripts and technical signs. Plain digits become the tabular ones, so that columns of
figures stand in line in every program part without asking for a font feature, and U+FFFD shows an empty box.
Needs fontTools.
"""
import sys
from pathlib import Path

from fontTools import subset
from fontTools.ttLib import TTFont

RANGES = [
    (0x20, 0x24F), (0x259, 0x259), (0x2B0, 0x2FF), (0x300, 0x36F),  # Latin and combining marks
    (0x370, 0x3FF), (0x400, 0x52F), (0x1E00, 0x1EFF),  # Greek, Cyrillic, Latin additional
    (0x2000, 0x206F), (0x2070, 0x209F), (0x20A0, 0x20BF), (0x2100, 0x218F),  # punctuation, currency, fractions
    (0x2190, 0x21FF), (0x2200, 0x22FF), (0x2300, 0x23FF), (0x25A0, 0x25FF), (0x2700, 0x27BF),  # signs
]
SIGNS = [(i, name) for i, name in enumerate("zero one two three four five six seven eight nine".split())]


def tabular(font):
    """Which glyph the font's `tnum` feature puts for each glyph."""
    gsub = font["GSUB"].table
    out = {}
    for record in gsub.FeatureList.FeatureRecord:
        if record.FeatureTag == "tnum":
            for index in record.Feature.LookupListIndex:
                for table in gsub.LookupList.Lookup[index].SubTable:
                    out.update(getattr(table, "ExtSubTable", table).mapping)
    return out


def make(source, target, family):
    font = TTFont(source)
    swap = tabular(font)
    for table in font["cmap"].tables:
        for code, _ in SIGNS:
            code = ord("0") + code
            if code in table.cmap:
                table.cmap[code] = swap.get(table.cmap[code], table.cmap[code])
        if table.isUnicode():
            table.cmap[0xFFFD] = font.getBestCmap()[0x25A1]
    options = subset.Options()
    options.layout_features = ["kern", "mark", "mkmk", "ccmp", "locl"]
    options.hinting = False
    options.name_IDs = [0, 1, 2, 3, 4, 5, 6, 13, 14, 16, 17]
    options.notdef_outline = True
    options.recalc_timestamp = False
    worker = subset.Subsetter(options)
    worker.populate(unicodes=[c for a, b in RANGES for c in range(a, b + 1)] + [0xFFFD])
    worker.subset(font)
    font.save(target)
    digits = {font["hmtx"][font.getBestCmap()[ord(d)]][0] for d in "0123456789"}
    assert len(digits) == 1, digits
    print(target, Path(target).stat().st_size, "bytes,", len(font.getBestCmap()), "characters,", family)


if __name__ == "__main__":
    package, out = map(Path, sys.argv[1:3])
    make(package / "400Regular/Inter_400Regular.ttf", out / "Inter-Regular.ttf", "Regular")
    make(package / "600SemiBold/Inter_600SemiBold.ttf", out / "Inter-SemiBold.ttf", "SemiBold")
