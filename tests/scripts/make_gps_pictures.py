#!/usr/bin/env python3
"""Writes small pictures that tell where, when, with what and by whom they were taken, as a phone's do: Exif with a
position, camera, owner and date, XMP, and a comment. All of it is invented. Needs Pillow (made with 13.0.0).

Usage: tests/scripts/make_gps_pictures.py tests/data/pictures
"""
import sys
from pathlib import Path

from PIL import Image, PngImagePlugin
from PIL.ExifTags import GPS, IFD, Base

OWNER = "Mira Oltavane"
XMP = (
    b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
    b'<rdf:Description xmlns:exif="http://ns.adobe.com/exif/1.0/" exif:GPSLatitude="12,34.5678N" '
    b'xmlns:dc="http://purl.org/dc/elements/1.1/" dc:creator="Mira Oltavane"/></rdf:RDF></x:xmpmeta>'
)


def exif():
    data = Image.Exif()
    data[Base.Orientation] = 6
    data[Base.Make] = "Oltavane"
    data[Base.Model] = "Pocket 3"
    data[Base.Artist] = OWNER
    data[Base.DateTime] = "2021:05:04 12:34:56"
    data[Base.HostComputer] = OWNER + "'s"
    details = data.get_ifd(IFD.Exif)
    details[Base.BodySerialNumber] = "SN-778-1234"
    details[Base.DateTimeOriginal] = "2021:05:04 12:34:56"
    position = data.get_ifd(IFD.GPSInfo)
    position[GPS.GPSLatitudeRef] = "N"
    position[GPS.GPSLatitude] = (12.0, 34.0, 56.78)
    position[GPS.GPSLongitudeRef] = "E"
    position[GPS.GPSLongitude] = (98.0, 7.0, 6.5)
    return data


def picture():
    image = Image.new("RGB", (24, 16))
    image.putdata([(10 * x % 256, 13 * y % 256, 7 * (x + y) % 256) for y in range(16) for x in range(24)])
    return image


def main(folder):
    image, data = picture(), exif()
    image.save(folder / "gps.jpg", quality=90, exif=data, xmp=XMP, comment="taken by " + OWNER)
    text = PngImagePlugin.PngInfo()
    text.add_text("Author", OWNER)
    text.add_itxt("XML:com.adobe.xmp", XMP.decode())
    image.save(folder / "gps.png", exif=data, pnginfo=text)
    image.save(folder / "gps.webp", lossless=True, exif=data, xmp=XMP)
    # TIFF keeps XMP among its own tags.
    data[Base.XMLPacket] = XMP
    image.save(folder / "gps.tif", exif=data.tobytes())


main(Path(sys.argv[1]))
