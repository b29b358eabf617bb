"""TIFF at its own depth: 8 and 16 bit integers, or floating point."""

from __future__ import annotations

import io
from typing import Any

import numpy as np

from refmatch.errors import PhotoError
from refmatch.photo.decoded import Decoded, Kind, Samples
from refmatch.photo.formats import check_size

KINDS: dict[str, Kind] = {
    "MINISBLACK": "grey",
    "MINISWHITE": "grey",
    "RGB": "rgb",
    "PALETTE": "rgb",
    "YCBCR": "rgb",
    "SEPARATED": "cmyk",
}
CHANNELS_OF: dict[Kind, int] = {"grey": 1, "rgb": 3, "cmyk": 4}


def decode_tiff(data: bytes, name: str) -> Decoded:
    """Decode the first page of a TIFF.

    Raises:
        PhotoError: a camera's raw file, or samples of an unusual sort.
    """
    import tifffile

    with tifffile.TiffFile(io.BytesIO(data)) as file:
        page: Any = file.pages[0]
        check_size(page.imagewidth, page.imagelength, name)
        if "DNGVersion" in page.tags or page.photometric.name in ("CFA", "LINEAR_RAW"):
            raise PhotoError(
                f"'{name}' is a camera's raw file; develop it first and save a 16-bit TIFF."
            )
        kind = KINDS.get(page.photometric.name)
        if kind is None:
            raise PhotoError(
                f"'{name}' is a TIFF in {page.photometric.name}; save it as an RGB TIFF."
            )
        samples = _usual_samples(_upright_channels(page), name)
        if page.photometric.name == "MINISWHITE":
            samples = np.invert(samples) if samples.dtype.kind == "u" else 1.0 - samples
        return Decoded(
            samples[..., : CHANNELS_OF[kind] + 1],
            kind,
            8 * samples.itemsize,
            icc=_tag(page, "InterColorProfile"),
            orientation=int(_tag(page, "Orientation") or 1),
        )


def _upright_channels(page: Any) -> Samples:
    """Return the page as (rows, columns, channels), planes and palettes resolved."""
    samples: Samples = page.asarray()
    if page.photometric.name == "PALETTE":
        return np.moveaxis(np.asarray(page.colormap)[:, samples], 0, -1)
    if samples.ndim == 3 and page.planarconfig.name == "SEPARATE":
        return np.moveaxis(samples, 0, -1)
    return samples[:, :, None] if samples.ndim == 2 else samples


def _usual_samples(samples: Samples, name: str) -> Samples:
    if samples.dtype in (np.uint8, np.uint16):
        return samples
    if samples.dtype == np.bool_:
        return samples.astype(np.uint8) * np.uint8(255)
    if samples.dtype.kind == "f":
        return samples.astype(np.float32, copy=False)
    raise PhotoError(
        f"'{name}' holds {samples.dtype} numbers; save it as a TIFF of 8 or 16 bits or of floats."
    )


def _tag(page: Any, tag: str) -> Any:
    return page.tags[tag].value if tag in page.tags else None
