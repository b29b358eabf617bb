"""Loading what is slow to load before the painter first needs it."""

from __future__ import annotations

import contextlib
import importlib
import time

SLOW = (
    "cv2",
    "imagecodecs",
    "refmatch.photo.families",
    "reportlab.pdfgen.canvas",
    "refmatch.sheet.pdf",
    "pypdfium2",
)
"""Modules that a first answer would wait for, in the order they are wanted."""

FIRST_S = 2.0
"""The page comes first: so long nothing else is loaded."""


def warm_up(after_s: float = FIRST_S) -> None:
    """Import the slow modules; one that is not there is told when it is wanted."""
    time.sleep(after_s)
    for name in SLOW:
        with contextlib.suppress(ImportError):
            importlib.import_module(name)
