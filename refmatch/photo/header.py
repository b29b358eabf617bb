"""What a photo's file says about itself, read before its pixels are."""

from __future__ import annotations

import io
import warnings
from typing import Any

from refmatch.errors import PhotoError

MOST_PIXELS = 300_000_000
"""Larger photos are refused: their samples alone would fill a gigabyte."""

EXIF_ORIENTATION, EXIF_COLOUR_SPACE, EXIF_INTEROP_INDEX = 0x0112, 0xA001, 0x0001
EXIF_FOLDER, INTEROP_FOLDER = 0x8769, 0xA005


def check_size(width_px: int, height_px: int, name: str) -> None:
    """Refuse a photo of no pixels, or of more than memory should be asked for.

    Raises:
        PhotoError: so it is; ``name`` is the file's.
    """
    if width_px < 1 or height_px < 1:
        raise PhotoError("photo_without_pixels", file=name)
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
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            exif = header.getexif()
            said = {"stated_space": _space(exif), "orientation": _orientation(exif)}
    except Exception:  # whatever its parser trips over
        said = {}
    return {"icc": icc, **said}


def _orientation(exif: Any) -> int:
    orientation = exif.get(EXIF_ORIENTATION)
    return orientation if orientation in range(1, 9) else 1


def _space(exif: Any) -> str | None:
    """Return the colour space Exif states: sRGB, or Adobe RGB by the DCF option file mark.

    Source: CIPA DC-008 (Exif), ColorSpace 1 is sRGB; CIPA DC-009 (DCF 2.0),
    interoperability index "R03" is Adobe RGB (1998).
    """
    if exif.get_ifd(INTEROP_FOLDER).get(EXIF_INTEROP_INDEX) == "R03":
        return "Adobe RGB (1998)"
    return "sRGB" if exif.get_ifd(EXIF_FOLDER).get(EXIF_COLOUR_SPACE) == 1 else None
