"""PNG: 8 or 16 bits, palettes and transparency resolved."""

from __future__ import annotations

from refmatch.photo.decoded import Decoded, by_channels
from refmatch.photo.header import open_header, said_by


def decode_png(data: bytes, name: str) -> Decoded:
    """Decode a PNG at its own depth."""
    import imagecodecs
    from PIL.PngImagePlugin import PngImageFile

    header = open_header(PngImageFile, data, name)
    samples, kind = by_channels(imagecodecs.png_decode(data))
    if b"eXIf" not in data and b"Raw profile type exif" not in data:
        header.info["exif"] = b""  # else Pillow decodes the whole picture in search of it
    said = said_by(header)
    if "srgb" in header.info:
        said["stated_space"] = "sRGB"
    return Decoded(samples, kind, 8 * samples.itemsize, **said)
