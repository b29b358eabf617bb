"""The sheet's typeface, and what is printed for a character that it does not have."""

from __future__ import annotations

import functools
import unicodedata
from importlib.resources import files

from reportlab.lib.fonts import addMapping
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from refmatch.errors import LibraryMissing

PLAIN, BOLD, ITALIC = "Sheet", "Sheet-Bold", "Sheet-Italic"

FILES = {
    PLAIN: "FiraSans-Regular.ttf",
    BOLD: "FiraSans-SemiBold.ttf",
    ITALIC: "FiraSans-Italic.ttf",
}
"""Fira Sans (SIL Open Font License): Latin, Greek, Cyrillic, arrows; one set in all three."""

STAND_INS = {
    "\u2009": "\u00a0",
    "\u202f": "\u00a0",
    "\u2010": "-",
    "\u2011": "-",
    "\u2032": "'",
    "\u2033": '"',
    "\u00ad": "",
}
"""Characters that mean the same as one the typeface has."""


@functools.cache
def register() -> None:
    """Make the faces known to ReportLab; done once.

    Raises:
        LibraryMissing: the typeface is not installed.
    """
    try:
        folder = files("fontpkg_fira_sans").joinpath("files")
    except ModuleNotFoundError as error:
        raise LibraryMissing("typeface_missing", package="fontpkg-fira-sans") from error
    for name, file in FILES.items():
        pdfmetrics.registerFont(TTFont(name, str(folder.joinpath(file))))
    for bold, italic, name in ((0, 0, PLAIN), (1, 0, BOLD), (0, 1, ITALIC), (1, 1, BOLD)):
        addMapping(PLAIN, bold, italic, name)


def visible(text: str) -> str:
    """Return the text with every character printable: none vanishes.

    A character that the typeface lacks becomes its code point, "[U+6C49]"; line
    ends and other controls become spaces.
    """
    composed = unicodedata.normalize("NFC", text)
    return "".join(_printable(character) for character in composed)


def width(text: str, font: str, size: float) -> float:
    """Return how wide the text runs, in points."""
    register()
    return float(pdfmetrics.stringWidth(visible(text), font, size))


def fitted(text: str, font: str, size: float, room: float) -> str:
    """Return the text, or as much of its start as fits in ``room`` points and an ellipsis."""
    text = visible(text)
    if width(text, font, size) <= room:
        return text
    while text and width(f"{text}…", font, size) > room:
        text = text[:-1]
    return f"{text.rstrip()}…"


def _printable(character: str) -> str:
    if character in STAND_INS:
        return STAND_INS[character]
    category = unicodedata.category(character)
    if category in ("Cc", "Zl", "Zp"):
        return " "
    if category == "Cf":  # joiners and direction marks have no shape of their own
        return ""
    if ord(character) in _known():
        return character
    return f"[U+{ord(character):04X}]"


@functools.cache
def _known() -> frozenset[int]:
    register()
    faces = [pdfmetrics.getFont(name).face.charToGlyph for name in FILES]
    return frozenset(set(faces[0]).intersection(*faces[1:]))
