"""OpenCV, fetched only when pixels are to be worked on: it is slow to import."""

from __future__ import annotations

from typing import Any

from refmatch.errors import LibraryMissing


def opencv() -> Any:
    """Return the cv2 module.

    Raises:
        LibraryMissing: OpenCV or a library of the system that it needs is not there.
    """
    try:
        import cv2
    except ImportError as error:
        raise LibraryMissing("opencv_missing", reason=str(error)) from error
    return cv2
