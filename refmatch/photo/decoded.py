"""What every file format is turned into before colour is thought of."""

from __future__ import annotations

import io
import warnings
from contextlib import suppress
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
import numpy.typing as npt

from refmatch.errors import PhotoError
from refmatch.flag import Flag
from refmatch.photo.space import ADOBE_RGB, SRGB, Space

Samples = npt.NDArray[Any]
"""(rows, columns, channels), uint8, uint16 or float32, as the file holds them."""

Bools = npt.NDArray[np.bool_]

Kind = Literal["grey", "rgb", "cmyk"]
CHANNELS: dict[Kind, int] = {"grey": 1, "rgb": 3, "cmyk": 4}


@dataclass(frozen=True, eq=False)
class Decoded:
    """A file's samples and what the file says about them.

    ``samples`` may carry alpha as one channel more than its ``kind`` has.
    ``icc`` is the embedded profile; ``stated_space`` a colour space the
    file states in another way (Exif, a PNG's chunks, HEIF's code points).
    ``orientation`` is Exif's 1 to 8.
    """

    samples: Samples
    kind: Kind
    bit_depth: int
    icc: bytes | None = None
    stated_space: Space | None = None
    orientation: int = 1
    flags: tuple[Flag, ...] = ()


SEVERAL = Flag("several_pictures")
GAIN_MAP = Flag("gain_map_left")

GAIN_MAPS = (b"ns.adobe.com/hdr-gain-map/", b"urn:iso:std:iso:ts:21496:-1", b":aux:hdrgainmap")
"""What files call the second picture that brightens the first on screens that can: ISO 21496-1,
and the two ways that were there before it."""


def gain_map(data: bytes) -> tuple[Flag, ...]:
    """Say that a file brings a map to a higher dynamic range, which is left aside."""
    return (GAIN_MAP,) if any(mark in data for mark in GAIN_MAPS) else ()


def by_channels(samples: Samples) -> tuple[Samples, Kind]:
    """Give grey samples their channel axis and tell grey from RGB, alpha or not."""
    if samples.ndim == 2:
        samples = samples[:, :, None]
    return samples, "grey" if samples.shape[2] <= 2 else "rgb"


def orient(samples: Samples, orientation: int) -> Samples:
    """Turn the samples upright by Exif's orientation 1 to 8 (CIPA DC-008, 4.6.4); a view."""
    if orientation in (5, 6, 7, 8):
        samples = samples.swapaxes(0, 1)
    if orientation in (3, 4, 7, 8):
        samples = samples[::-1]
    if orientation in (2, 3, 6, 7):
        samples = samples[:, ::-1]
    return samples


def part_alpha(samples: Samples) -> tuple[Samples, Bools | None]:
    """Part colour from alpha: the samples, and where the photo is to be seen; None for all of it.

    What is more than half transparent is left out: it is laid over with the type's white, to be
    looked at and never measured. The rest keeps its own colour, whatever may shine through.
    """
    colour, alpha = samples[..., :-1], samples[..., -1]
    top = 1.0 if samples.dtype.kind == "f" else int(np.iinfo(samples.dtype).max)
    opaque = alpha >= top / 2.0
    if opaque.all():
        return colour, None
    colour = colour if colour.flags.writeable else colour.copy()
    colour[~opaque] = top
    return colour, opaque


# What a photo's file says about itself, read before its pixels are.

MOST_PIXELS = 300_000_000
"""Larger photos are refused: their samples alone would fill a gigabyte."""

LEAST_SIDE_PX = 30
"""A smaller picture is a symbol or a thumbnail: holes of the least width would cover a third."""

EXIF_ORIENTATION, EXIF_COLOUR_SPACE, EXIF_INTEROP_INDEX = 0x0112, 0xA001, 0x0001
EXIF_FOLDER, INTEROP_FOLDER = 0x8769, 0xA005


def check_size(width_px: int, height_px: int, name: str) -> None:
    """Refuse a photo of no pixels, or of more than memory should be asked for.

    Raises:
        PhotoError: so it is; ``name`` is the file's.
    """
    if width_px < 1 or height_px < 1:
        raise PhotoError("photo_without_pixels", file=name)
    if min(width_px, height_px) < LEAST_SIDE_PX:
        raise PhotoError(
            "photo_too_small",
            file=name,
            width_px=width_px,
            height_px=height_px,
            least=LEAST_SIDE_PX,
        )
    if width_px * height_px > MOST_PIXELS:
        raise PhotoError(
            "photo_of_too_many_pixels",
            file=name,
            width_px=width_px,
            height_px=height_px,
            most=MOST_PIXELS,
        )


def open_header(plugin: Any, data: bytes, name: str) -> Any:
    """Open a file by one of Pillow's plugins, which reads its header and no pixels.

    Pillow's own warnings (damaged Exif) would tell a painter nothing.
    """
    from PIL import Image

    Image.MAX_IMAGE_PIXELS = MOST_PIXELS  # its own limit is lower, and meant for any picture
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        header = plugin(io.BytesIO(data))
    width_px, height_px = header.size
    check_size(width_px, height_px, name)
    return header


def said_by(header: Any) -> dict[str, Any]:
    """Return profile, stated colour space and orientation, named as in `Decoded`.

    Damaged Exif is no reason to refuse a photo: it then says nothing.
    """
    icc = header.info.get("icc_profile") or None
    said: dict[str, Any] = {}
    for key, read in (("orientation", _orientation), ("stated_space", _space)):
        # one at a time: a broken colour space must not take the turn with it
        with warnings.catch_warnings(), suppress(Exception):  # whatever its parser trips over
            warnings.simplefilter("ignore")
            said[key] = read(header.getexif())
    return {"icc": icc, **said}


def _orientation(exif: Any) -> int:
    orientation = exif.get(EXIF_ORIENTATION)
    return orientation if orientation in range(1, 9) else 1


def _space(exif: Any) -> Space | None:
    """Return the colour space Exif states: sRGB, or Adobe RGB by the DCF option file mark.

    Source: CIPA DC-008 (Exif), ColorSpace 1 is sRGB; CIPA DC-009 (DCF 2.0),
    interoperability index "R03" is Adobe RGB (1998).
    """
    with suppress(KeyError):  # Pillow before 12 trips where there is no such folder
        if exif.get_ifd(INTEROP_FOLDER).get(EXIF_INTEROP_INDEX) == "R03":
            return ADOBE_RGB
    return SRGB if exif.get_ifd(EXIF_FOLDER).get(EXIF_COLOUR_SPACE) == 1 else None
