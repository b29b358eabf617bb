"""Drawing on a page from its top left corner, in points; grey ink, and paint.

The page itself is achromatic: only `Pen.paint` and pictures put colour on it.
"""

from __future__ import annotations

import contextlib
import functools
import io
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from importlib.resources import files
from typing import Any

from reportlab.lib.fonts import addMapping
from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from refmatch.colorimetry.display import lab_to_srgb8
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import LibraryMissing

# The sheet's typeface, and what is printed for a character that it does not have.

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


MM = 72.0 / 25.4
"""Points in a millimetre."""

INK, SOFT, LINE, GROUND, WHITE = 0.0, 0.28, 0.62, 0.567, 1.0
"""Greys, 0 to 1: text, lesser text, thin lines, the neutral ground (L* 60), paper."""


@dataclass(frozen=True)
class Area:
    """A rectangle on the page: left, top, width, height, in points from the top left."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """The right edge."""
        return self.x + self.width

    @property
    def bottom(self) -> float:
        """The bottom edge."""
        return self.y + self.height

    def inset(self, by: float) -> Area:
        """Return the rectangle with ``by`` points taken off each side."""
        return Area(self.x + by, self.y + by, self.width - 2.0 * by, self.height - 2.0 * by)


class Pen:
    """A ReportLab canvas with its origin at the top left of the page."""

    def __init__(self, canvas: Any, page_width: float, page_height: float) -> None:
        self.canvas = canvas
        self.width = page_width
        self.height = page_height

    def grey(self, area: Area, level: float) -> None:
        """Fill a rectangle with a neutral grey."""
        self.canvas.setFillGray(level)
        self._rect(area, stroke=0, fill=1)

    def paint(self, area: Area, lab: Array) -> None:
        """Fill a rectangle with a colour."""
        self._take(lab)
        self._rect(area, stroke=0, fill=1)

    def dab(self, x: float, y: float, radius: float, lab: Array) -> None:
        """Fill a circle with a colour, inside a thin line that pale paints need."""
        self._take(lab)
        self.canvas.setStrokeGray(LINE)
        self.canvas.setLineWidth(0.4)
        self.canvas.circle(x, self.height - y, radius, stroke=1, fill=1)

    def frame(self, area: Area, line: float = 0.5, level: float = INK) -> None:
        """Draw the outline of a rectangle."""
        self._line(line, level)
        self._rect(area, stroke=1, fill=0)

    def rule(
        self,
        x_1: float,
        y_1: float,
        x_2: float,
        y_2: float,
        line: float = 0.5,
        *,
        level: float = INK,
    ) -> None:
        """Draw a straight line."""
        self._line(line, level)
        self.canvas.line(x_1, self.height - y_1, x_2, self.height - y_2)

    def ring(
        self, x: float, y: float, radius: float, line: float = 0.5, level: float = INK
    ) -> None:
        """Draw the outline of a circle."""
        self._line(line, level)
        self.canvas.circle(x, self.height - y, radius, stroke=1, fill=0)

    def outline(
        self,
        points: Sequence[tuple[float, float]],
        line: float,
        level: float,
        dashes: Sequence[float],
        *,
        closed: bool = True,
    ) -> None:
        """Draw straight lines from point to point."""
        if not points:
            return
        self.canvas.saveState()
        self._line(line, level)
        self.canvas.setDash(list(dashes))
        path = self.canvas.beginPath()
        path.moveTo(points[0][0], self.height - points[0][1])
        for x, y in points[1:]:
            path.lineTo(x, self.height - y)
        if closed:
            path.close()
        self.canvas.drawPath(path, stroke=1, fill=0)
        self.canvas.restoreState()

    @contextlib.contextmanager
    def within(self, area: Area) -> Iterator[None]:
        """Let nothing show outside a rectangle: a hole at the photo's edge ends there."""
        self.canvas.saveState()
        path = self.canvas.beginPath()
        path.rect(area.x, self.height - area.bottom, area.width, area.height)
        self.canvas.clipPath(path, stroke=0, fill=0)
        yield
        self.canvas.restoreState()

    def warning(self, x: float, y: float, size: float) -> None:
        """Draw a small triangle with a stroke in it, its top left at (x, y)."""
        self._line(0.08 * size, INK)
        path = self.canvas.beginPath()
        bottom = self.height - y - size
        path.moveTo(x, bottom)
        path.lineTo(x + size / 2.0, bottom + size)
        path.lineTo(x + size, bottom)
        path.close()
        self.canvas.drawPath(path, stroke=1, fill=0)
        middle = x + size / 2.0
        self.canvas.line(middle, bottom + 0.62 * size, middle, bottom + 0.32 * size)
        self.canvas.line(middle, bottom + 0.20 * size, middle, bottom + 0.14 * size)

    def word(
        self, x: float, y: float, text: str, size: float, font: str = PLAIN, *, level: float = INK
    ) -> None:
        """Print one line from ``x`` on, its baseline at ``y``."""
        self.canvas.setFillGray(level)
        self.canvas.setFont(font, size)
        self.canvas.drawString(x, self.height - y, visible(text))

    def word_right(
        self, x: float, y: float, text: str, size: float, font: str = PLAIN, *, level: float = INK
    ) -> None:
        """Print one line that ends at ``x``."""
        self.word(x - width(text, font, size), y, text, size, font, level=level)

    def word_middle(
        self, x: float, y: float, text: str, size: float, font: str = PLAIN, *, level: float = INK
    ) -> None:
        """Print one line around ``x``."""
        self.word(x - width(text, font, size) / 2.0, y, text, size, font, level=level)

    def badge(self, x: float, y: float, text: str, size: float, font: str) -> float:
        """Print white on a black plate whose top left is (x, y); return the plate's width."""
        across = max(width(text, font, size) + 0.7 * size, 1.35 * size)
        self.grey(Area(x, y, across, 1.35 * size), INK)
        self.word_middle(x + across / 2.0, y + 1.03 * size, text, size, font, level=WHITE)
        return across

    def picture(self, area: Area, data: bytes) -> None:
        """Draw an encoded picture over a rectangle, in a thin line that pale edges need."""
        reader = ImageReader(io.BytesIO(data))
        bottom = self.height - area.bottom
        self.canvas.drawImage(reader, area.x, bottom, area.width, area.height)
        self.frame(area, 0.3, LINE)

    def _take(self, lab: Array) -> None:
        red, green, blue = (int(byte) / 255.0 for byte in lab_to_srgb8(lab))
        self.canvas.setFillColorRGB(red, green, blue)

    def _line(self, line: float, level: float) -> None:
        self.canvas.setLineWidth(line)
        self.canvas.setStrokeGray(level)

    def _rect(self, area: Area, stroke: int, fill: int) -> None:
        bottom = self.height - area.bottom
        self.canvas.rect(area.x, bottom, area.width, area.height, stroke=stroke, fill=fill)
