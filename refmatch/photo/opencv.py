"""OpenCV, fetched only when pixels are to be worked on: it is slow to import."""

from __future__ import annotations

from typing import Any

from refmatch.errors import LibraryMissing


def opencv() -> Any:
    """Return the cv2 module, or say in a sentence what it lacks.

    Raises:
        LibraryMissing: OpenCV or a library of the system that it needs is not there.
    """
    try:
        import cv2
    except ImportError as error:
        raise LibraryMissing(
            f"OpenCV cannot start ({error}); on a bare server install what it needs with "
            "'apt-get install libgl1 libglib2.0-0'."
        ) from error
    return cv2
