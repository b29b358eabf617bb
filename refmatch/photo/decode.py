"""Reading a photo's file: which format it is, and its samples at their own depth."""

from __future__ import annotations

import re
from collections.abc import Callable

from refmatch.errors import LibraryMissing, PhotoError, RefmatchError
from refmatch.photo.decoded import CHANNELS, Decoded
from refmatch.photo.formats.heic import decode_heic
from refmatch.photo.formats.jpeg import decode_jpeg
from refmatch.photo.formats.png import decode_png
from refmatch.photo.formats.tiff import decode_tiff
from refmatch.photo.formats.webp import decode_webp

Reader = Callable[[bytes, str], Decoded]

READERS: dict[bytes, Reader] = {
    rb"\xff\xd8\xff": decode_jpeg,
    rb"\x89PNG\r\n\x1a\n": decode_png,
    rb"II[*+]\0|MM\0[*+]": decode_tiff,
    rb"RIFF....WEBP": decode_webp,
    rb"....ftyp(hei[cxms]|hev[cx]|mif1|msf1)(?!.{0,48}avif)": decode_heic,
}
"""What a file begins with, as a pattern, and the function that reads it."""


def decode(data: bytes, name: str) -> Decoded:
    """Decode a whole photo file by what it begins with, whatever its name ends in.

    Args:
        data: the bytes of the file.
        name: how to call the file in an error.

    Raises:
        PhotoError: not a photo this program reads, cut short, or too large.
    """
    if not data:
        raise PhotoError("photo_file_empty", file=name)
    reader = next((READERS[start] for start in READERS if re.match(start, data, re.DOTALL)), None)
    if reader is None:
        raise PhotoError("photo_of_unknown_format", file=name)
    try:
        decoded = reader(data, name)
        _check_shape(decoded)
        return decoded
    except RefmatchError:
        raise
    except ImportError as error:
        raise LibraryMissing("photo_library_missing", file=name, reason=str(error)) from error
    except MemoryError as error:
        raise PhotoError("photo_too_large_for_memory", file=name) from error
    except Exception as error:  # each codec has its own errors, all meaning the same here
        raise PhotoError("photo_damaged", file=name) from error


def _check_shape(decoded: Decoded) -> None:
    rows, columns, channels = decoded.samples.shape
    if rows < 1 or columns < 1 or channels - CHANNELS[decoded.kind] not in (0, 1):
        raise ValueError(f"samples of shape {decoded.samples.shape} for {decoded.kind}")
