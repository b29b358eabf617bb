"""JPEG, PNG, WebP and TIFF: each a function from bytes to `Decoded`."""

from __future__ import annotations

import io
import itertools
import logging
import re
import struct
from collections.abc import Iterator
from typing import Any

import numpy as np

from refmatch.errors import PhotoError
from refmatch.flag import Flag
from refmatch.photo.decoded import (
    CHANNELS,
    SEVERAL,
    Decoded,
    Kind,
    Samples,
    by_channels,
    check_size,
    gain_map,
    open_header,
    said_by,
)
from refmatch.photo.raw import decode_raw
from refmatch.photo.space import SRGB, Space, by_code_points, by_numbers

# JPEG: 8 bits, grey, colour or printing inks.

_MARKER = re.compile(rb"\xff[\x01\x02-\xcf\xd8-\xfe]")
_START_OF_IMAGE, _END_OF_IMAGE, _START_OF_SCAN = 0xD8, 0xD9, 0xDA

MOST_SCANNED = 6_000_000_000
"""Pixels times scans. A progressive photo has some ten scans, of 300 million pixels at most
twice as many; a file that scans one picture thousands of times is made to hold a program up."""


def decode_jpeg(data: bytes, name: str) -> Decoded:
    """Decode a JPEG, baseline or progressive; of one with a gain map, the picture that all show.

    Raises:
        PhotoError: the file ends before the picture does, or scans it without end.
    """
    import imagecodecs
    from PIL.JpegImagePlugin import JpegImageFile

    header = open_header(JpegImageFile, data, name)
    scans = _scans(data)
    if scans is None:
        raise PhotoError("photo_cut_short", file=name)
    if scans * header.width * header.height > MOST_SCANNED:
        raise PhotoError("photo_of_too_many_scans", file=name, scans=scans)
    flags = gain_map(data)
    if header.mode == "CMYK":
        samples = imagecodecs.jpeg8_decode(data, outcolorspace="cmyk")
        # Adobe's convention, followed by all who write such files: 255 is no ink
        np.invert(samples, out=samples)
        return Decoded(samples, "cmyk", 8, **said_by(header), flags=flags)
    samples, kind = by_channels(imagecodecs.jpeg8_decode(data))
    return Decoded(samples, kind, 8, **said_by(header), flags=flags)


def _scans(data: bytes) -> int | None:
    """Count the picture's scans; None where its end marker is missing.

    Decoders fill in grey without a word. Segments are stepped over by their length, so
    that a thumbnail's end does not count (ITU-T T.81, annex B).
    """
    at, scans = 2, 0
    while match := _MARKER.search(data, at):
        marker, at = data[match.start() + 1], match.end()
        if marker == _END_OF_IMAGE:
            return scans
        scans += marker == _START_OF_SCAN
        if marker not in (0x01, _START_OF_IMAGE):
            at += int.from_bytes(data[at : at + 2], "big")
    return None


# PNG: 8 or 16 bits, palettes and transparency resolved; of a moving one, the first picture.


def decode_png(data: bytes, name: str) -> Decoded:
    """Decode a PNG at its own depth.

    Raises:
        PhotoError: high dynamic range, by its code points.
    """
    import imagecodecs
    from PIL.PngImagePlugin import PngImageFile

    header = open_header(PngImageFile, data, name)
    chunks = dict(_chunks_before_the_picture(data))
    space = _space_of_chunks(chunks, name)
    samples, kind = by_channels(imagecodecs.png_decode(data))
    if b"eXIf" not in data and b"Raw profile type exif" not in data:
        header.info["exif"] = b""  # else Pillow decodes the whole picture in search of it
    said = said_by(header)
    if b"cICP" in chunks and space:  # it goes before a profile (PNG 3, 11.3.2)
        said["icc"] = None
    said["stated_space"] = space or said.get("stated_space")
    flags = (SEVERAL,) if b"acTL" in chunks else ()
    return Decoded(samples, kind, 8 * samples.itemsize, **said, flags=flags)


def _chunks_before_the_picture(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    at = 8
    while (kind := data[at + 4 : at + 8]) and kind != b"IDAT":
        (length,) = struct.unpack(">I", data[at : at + 4])
        yield kind, data[at + 8 : at + 8 + length]
        at += length + 12


def _space_of_chunks(chunks: dict[bytes, bytes], name: str) -> Space | None:
    """Return the space that a PNG states beside a profile: cICP, else sRGB, else gAMA and cHRM."""
    if len(chunks.get(b"cICP", b"")) == 4:
        primaries, transfer, _, _ = chunks[b"cICP"]
        return by_code_points(primaries, transfer, name)
    if b"sRGB" in chunks:
        return SRGB
    (gamma,) = _parts_of_100000(chunks.get(b"gAMA", b""), 1) or (None,)
    return by_numbers(gamma, _parts_of_100000(chunks.get(b"cHRM", b""), 8))


def _parts_of_100000(chunk: bytes, count: int) -> tuple[float, ...] | None:
    if len(chunk) != 4 * count:
        return None
    return tuple(number / 100_000.0 for number in struct.unpack(f">{count}I", chunk))


# WebP: 8 bits, lossy or lossless; of a moving one, the first picture.


def decode_webp(data: bytes, name: str) -> Decoded:
    """Decode a WebP."""
    import imagecodecs
    from PIL.WebPImagePlugin import WebPImageFile

    header = open_header(WebPImageFile, data, name)
    samples, kind = by_channels(imagecodecs.webp_decode(data, index=0))
    flags = (SEVERAL,) if header.n_frames > 1 else ()
    return Decoded(samples, kind, 8, **said_by(header), flags=flags)


# TIFF, as cameras and scanners write it.

KINDS: dict[str, Kind] = {
    "MINISBLACK": "grey",
    "MINISWHITE": "grey",
    "RGB": "rgb",
    "PALETTE": "rgb",
    "YCBCR": "rgb",
    "SEPARATED": "cmyk",
}
GREATEST_USUAL_FLOAT = 4.0
"""A median above this is no picture with white at 1, but codes stored as floats."""

HOLES = Flag("not_numbers")


def decode_tiff(data: bytes, name: str) -> Decoded:
    """Decode the first full picture of a TIFF; floats have white at 1.

    Raises:
        PhotoError: samples of an unusual sort, or a camera's raw file where none is developed.
    """
    import tifffile

    logging.getLogger("tifffile").setLevel(logging.CRITICAL)  # what matters is said here
    with tifffile.TiffFile(io.BytesIO(data)) as file:
        page, several = _first_picture(file)
        check_size(page.imagewidth, page.imagelength, name)
        if _is_raw(page, data):
            return decode_raw(data, name)
        kind = KINDS.get(page.photometric.name)
        if kind is None:
            raise PhotoError("tiff_of_odd_colours", file=name, space=page.photometric.name)
        samples, flags = _usual_samples(_channels_last(page, data), name)
        if page.photometric.name == "MINISWHITE":
            samples = np.invert(samples) if samples.dtype.kind == "u" else 1.0 - samples
        return Decoded(
            samples=_with_plain_alpha(samples, CHANNELS[kind], page.extrasamples),
            kind=kind,
            bit_depth=8 * samples.itemsize,
            icc=_tag(page, "InterColorProfile"),
            orientation=_orientation(page),
            flags=flags + ((SEVERAL,) if several else ()),
        )


MOST_PAGES = 16
"""How far further pages are looked for: a chain of them may have no end."""


def _first_picture(file: Any) -> tuple[Any, bool]:
    """Return the first page that is no smaller copy of another, and whether there are more."""
    pages = [page.aspage() for page in itertools.islice(file.pages, MOST_PAGES)]
    own = [page for page in pages if not page.is_reduced and not page.is_mask]
    if pages[0].is_reduced and "SubIFDs" in pages[0].tags:
        return pages[0], False
    return (own or pages)[0], len(own) > 1


def _is_raw(page: Any, data: bytes) -> bool:
    """Recognise raw files by their mark, their sensor mosaic, or a preview standing first."""
    return (
        "DNGVersion" in page.tags
        or page.photometric.name in ("CFA", "LINEAR_RAW")
        or (page.is_reduced and "SubIFDs" in page.tags)
        or data[8:10] == b"CR"
    )


def _channels_last(page: Any, data: bytes) -> Samples:
    """Return the page as (rows, columns, channels), planes and palettes resolved."""
    samples: Samples = _in_place(page, data) if _lies_plain(page) else page.asarray()
    if page.photometric.name == "PALETTE":
        return np.moveaxis(np.asarray(page.colormap)[:, samples], 0, -1)
    if samples.ndim == 3 and page.planarconfig.name == "SEPARATE":
        return np.moveaxis(samples, 0, -1)
    return samples[:, :, None] if samples.ndim == 2 else samples


def _lies_plain(page: Any) -> bool:
    """Whether the samples stand in the file as in memory: no need of a second copy."""
    kind = page.dtype
    if kind is None or kind.kind not in "uf" or not page.is_final:
        return False
    as_here = np.dtype(page.parent.byteorder + kind.char).isnative
    return as_here and page.dataoffsets[0] % kind.itemsize == 0


def _in_place(page: Any, data: bytes) -> Samples:
    start = page.dataoffsets[0]
    return np.frombuffer(data, page.dtype, page.size, start).reshape(page.shape)


def _usual_samples(samples: Samples, name: str) -> tuple[Samples, tuple[Flag, ...]]:
    if samples.dtype in (np.uint8, np.uint16):
        return samples, ()
    if samples.dtype == np.bool_:
        return samples.astype(np.uint8) * np.uint8(255), ()
    if samples.dtype.kind != "f":
        raise PhotoError("tiff_of_odd_numbers", file=name, numbers=str(samples.dtype))
    floats = samples.astype(np.float32, copy=False)
    flags: tuple[Flag, ...] = ()
    if not np.isfinite(floats).all():
        floats, flags = np.nan_to_num(floats, nan=0.0, posinf=1.0, neginf=0.0), (HOLES,)
    if np.median(floats[::16, ::16]) > GREATEST_USUAL_FLOAT:
        raise PhotoError("tiff_floats_above_white", file=name)
    return floats, flags


def _with_plain_alpha(samples: Samples, channels: int, extra: Any) -> Samples:
    """Keep alpha only where a further channel is said to be alpha, and undo any premultiplying."""
    first = extra[0].name if extra else "UNSPECIFIED"
    if samples.shape[2] == channels or first == "UNSPECIFIED":
        return samples[..., :channels]
    if first == "UNASSALPHA":
        return samples[..., : channels + 1]
    top = 1.0 if samples.dtype.kind == "f" else float(np.iinfo(samples.dtype).max)
    plain = samples[..., : channels + 1].astype(np.float32)
    plain[..., :-1] *= top / np.maximum(plain[..., -1:], top * 1e-6)
    plain = np.minimum(plain, top)
    return plain if samples.dtype.kind == "f" else np.rint(plain).astype(samples.dtype)


def _orientation(page: Any) -> int:
    orientation = _tag(page, "Orientation")
    return int(orientation) if orientation in range(1, 9) else 1


def _tag(page: Any, tag: str) -> Any:
    return page.tags[tag].value if tag in page.tags else None
