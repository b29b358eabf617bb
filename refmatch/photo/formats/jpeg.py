"""JPEG: 8 bits, grey, colour or printing inks."""

from __future__ import annotations

import re

from refmatch.errors import PhotoError
from refmatch.photo.decoded import Decoded, by_channels
from refmatch.photo.header import open_header, said_by

_MARKER = re.compile(rb"\xff[\x01\x02-\xcf\xd8-\xfe]")
_END_OF_IMAGE = 0xD9


def decode_jpeg(data: bytes, name: str) -> Decoded:
    """Decode a JPEG, baseline or progressive.

    Raises:
        PhotoError: the file ends before the picture does.
    """
    import imagecodecs
    from PIL.JpegImagePlugin import JpegImageFile

    header = open_header(JpegImageFile, data, name)
    if not _is_whole(data):
        raise PhotoError("photo_cut_short", file=name)
    if header.mode == "CMYK":
        samples = imagecodecs.jpeg8_decode(data, outcolorspace="cmyk")
        # Adobe's convention, followed by all who write such files: 255 is no ink
        return Decoded(255 - samples, "cmyk", 8, **said_by(header))
    samples, kind = by_channels(imagecodecs.jpeg8_decode(data))
    return Decoded(samples, kind, 8, **said_by(header))


def _is_whole(data: bytes) -> bool:
    """Say whether the picture's own end marker is there; decoders fill in grey without a word.

    Segments are stepped over by their length, so that a thumbnail's end does
    not count (ITU-T T.81, annex B).
    """
    at = 2
    while found := _MARKER.search(data, at):
        marker, at = data[found.start() + 1], found.end()
        if marker == _END_OF_IMAGE:
            return True
        if marker not in (0x01, 0xD8):
            at += int.from_bytes(data[at : at + 2], "big")
    return False
