"""Writes tests/data/sets/by-python.dieset with Python's own zipfile, as a check on the reading of packs."""

import pathlib
import zipfile

here = pathlib.Path(__file__).parent.parent / "data" / "sets"
with zipfile.ZipFile(here / "by-python.dieset", "w") as pack:
    def info(name):
        return zipfile.ZipInfo(name, date_time=(2000, 1, 1, 0, 0, 0))

    pack.writestr(info("set.ron"), (here / "minimal.ron").read_text(), zipfile.ZIP_DEFLATED)
    pack.writestr(info("plates/"), b"")
    pack.writestr(info("plates/o1.png"), b"not a picture, but these bytes", zipfile.ZIP_STORED)
