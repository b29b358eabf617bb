"""Reading a photo's file: which format it is, and its samples at their own depth."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from typing import Any

from refmatch.errors import PhotoError, RefmatchError
from refmatch.photo.decoded import Decoded, by_channels

MOST_PIXELS = 300_000_000
"""Larger photos are refused: their samples alone would fill a gigabyte."""

EXIF_ORIENTATION, EXIF_COLOUR_SPACE, EXIF_INTEROP_INDEX = 0x0112, 0xA001, 0x0001
EXIF_FOLDER, INTEROP_FOLDER = 0x8769, 0xA005


def decode(data: bytes, name: str) -> Decoded:
    """Decode a whole photo file by what it begins with, whatever its name ends in.

    Args:
        data: the bytes of the file.
        name: how to call the file in an error's sentence.

    Raises:
        PhotoError: not a photo this program reads, cut short, or too large.
    """
    if not data:
        raise PhotoError(f"'{name}' is empty; copy the photo again from where it came.")
    reader = _reader_of(data)
    if reader is None:
        raise PhotoError(
            f"'{name}' is not a JPEG, PNG, TIFF, WebP or HEIC photo, whatever its name says; "
            "save or export it as one of these."
        )
    try:
        return reader(data, name)
    except (RefmatchError, ImportError):
        raise
    except Exception as error:  # each codec has its own errors, all meaning the same here
        raise PhotoError(
            f"'{name}' is damaged or cut short and cannot be read; "
            "copy it again from the camera or phone."
        ) from error


def check_size(width_px: int, height_px: int, name: str) -> None:
    """Refuse a photo of no pixels, or of more than memory should be asked for."""
    if width_px < 1 or height_px < 1:
        raise PhotoError(f"'{name}' has no pixels; export the photo again.")
    if width_px * height_px > MOST_PIXELS:
        raise PhotoError(
            f"'{name}' has {width_px} x {height_px} pixels, more than the "
            f"{MOST_PIXELS // 1_000_000} million this program takes; save it smaller."
        )


def _reader_of(data: bytes) -> Callable[[bytes, str], Decoded] | None:
    if data.startswith((b"II*\0", b"MM\0*", b"II+\0", b"MM\0+")):
        from refmatch.photo.tiff import decode_tiff

        return decode_tiff
    if data[4:8] == b"ftyp" and data[8:12] in HEIC_BRANDS:
        from refmatch.photo.heic import decode_heic

        return decode_heic
    starts = {b"\xff\xd8\xff": _decode_jpeg, b"\x89PNG\r\n\x1a\n": _decode_png}
    for start, reader in starts.items():
        if data.startswith(start):
            return reader
    return _decode_webp if data[:4] == b"RIFF" and data[8:12] == b"WEBP" else None


HEIC_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1")


def _decode_jpeg(data: bytes, name: str) -> Decoded:
    import imagecodecs
    from PIL.JpegImagePlugin import JpegImageFile

    header = JpegImageFile(io.BytesIO(data))
    check_size(*header.size, name)
    if not _jpeg_is_whole(data):
        raise PhotoError(f"'{name}' is cut short; copy it again from the camera or phone.")
    if header.mode == "CMYK":
        samples = imagecodecs.jpeg8_decode(data, outcolorspace="cmyk")
        # Adobe's convention, followed by all who write such files: 255 is no ink
        return Decoded(255 - samples, "cmyk", 8, **_said_by(header))
    samples, kind = by_channels(imagecodecs.jpeg8_decode(data))
    return Decoded(samples, kind, 8, **_said_by(header))


def _decode_png(data: bytes, name: str) -> Decoded:
    import imagecodecs
    from PIL.PngImagePlugin import PngImageFile

    header = PngImageFile(io.BytesIO(data))
    check_size(*header.size, name)
    samples, kind = by_channels(imagecodecs.png_decode(data))
    if b"eXIf" not in data and b"Raw profile type exif" not in data:
        header.info["exif"] = b""  # else Pillow decodes the whole picture in search of it
    said = _said_by(header)
    if "srgb" in header.info:
        said["stated_space"] = "sRGB"
    return Decoded(samples, kind, 8 * samples.itemsize, **said)


def _decode_webp(data: bytes, name: str) -> Decoded:
    import imagecodecs
    from PIL.WebPImagePlugin import WebPImageFile

    header = WebPImageFile(io.BytesIO(data))
    check_size(*header.size, name)
    samples, kind = by_channels(imagecodecs.webp_decode(data))
    return Decoded(samples, kind, 8, **_said_by(header))


def _said_by(header: Any) -> dict[str, Any]:
    """Return profile, stated colour space and orientation from a header Pillow has read."""
    exif = header.getexif()
    return {
        "icc": header.info.get("icc_profile") or None,
        "stated_space": exif_space(exif),
        "orientation": exif_orientation(exif),
    }


def exif_orientation(exif: Any) -> int:
    """Return Exif's orientation, 1 where it is absent or nonsense."""
    orientation = exif.get(EXIF_ORIENTATION, 1)
    return orientation if orientation in range(1, 9) else 1


def exif_space(exif: Any) -> str | None:
    """Return the colour space Exif states: sRGB, or Adobe RGB by the DCF option file mark.

    Source: CIPA DC-008 (Exif), ColorSpace 1 is sRGB; CIPA DC-009 (DCF 2.0),
    interoperability index "R03" is Adobe RGB (1998).
    """
    if exif.get_ifd(INTEROP_FOLDER).get(EXIF_INTEROP_INDEX) == "R03":
        return "Adobe RGB (1998)"
    return "sRGB" if exif.get_ifd(EXIF_FOLDER).get(EXIF_COLOUR_SPACE) == 1 else None


_JPEG_MARKER = re.compile(rb"\xff[\x01\x02-\xcf\xd8-\xfe]")
_END_OF_IMAGE, _START_OF_SCAN = 0xD9, 0xDA


def _jpeg_is_whole(data: bytes) -> bool:
    """Say whether the picture's own end marker is there; decoders fill in grey without a word.

    Segments are stepped over by their length, so that a thumbnail's end does
    not count (ITU-T T.81, annex B).
    """
    at = 2
    while found := _JPEG_MARKER.search(data, at):
        marker, at = data[found.start() + 1], found.end()
        if marker == _END_OF_IMAGE:
            return True
        if marker not in (0x01, 0xD8):
            at += int.from_bytes(data[at : at + 2], "big")
    return False
