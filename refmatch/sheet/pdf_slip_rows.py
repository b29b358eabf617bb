"""The rows of a slip: its title, the bar of proportions, parts, steps, other ways, warnings."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from refmatch.colorimetry.spectrum import Array
from refmatch.sheet.blocks import Stack, Text, safe, strong
from refmatch.sheet.content import Alternative, PartLine, StepLine
from refmatch.sheet.fonts import BOLD, PLAIN
from refmatch.sheet.pen import Area, Pen


@dataclass(frozen=True)
class Title:
    """The slip's number on a black plate, and its label."""

    number: int
    label: str
    width: float
    size: float

    @cached_property
    def _words(self) -> Text:
        across = self.width - 2.4 * self.size
        return Text(strong(self.label), across, self.size, leading=1.15, most_lines=4)

    @property
    def height(self) -> float:
        """Height in points."""
        return max(self._words.height, 1.35 * self.size)

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the row."""
        pen.badge(x, y, str(self.number), self.size, BOLD)
        self._words.draw(pen, x + 2.4 * self.size, y + 0.06 * self.size)


@dataclass(frozen=True)
class Bar:
    """The proportions of the recipe as one bar of its colours."""

    parts: tuple[PartLine, ...]
    width: float
    thick: float

    @property
    def height(self) -> float:
        """Height in points."""
        return self.thick if self.parts else 0.0

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the row."""
        left = x
        for part in self.parts:
            pen.paint(Area(left, y, part.share * self.width, self.thick), part.lab)
            left += part.share * self.width
            if left < x + self.width - 0.01:
                pen.rule(left, y, left, y + self.thick, 0.4)
        pen.frame(Area(x, y, self.width, self.thick), 0.5)


@dataclass(frozen=True)
class PartRow:
    """A big figure, the colour laid out, and what the figure counts."""

    part: PartLine
    width: float
    scale: float

    @cached_property
    def _words(self) -> Text:
        return Text(safe(self.part.words), self.width - 50.0 * self.scale, 11.0 * self.scale)

    @property
    def height(self) -> float:
        """Height in points."""
        return max(self._words.height + 3.5 * self.scale, 18.0 * self.scale)

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the row."""
        scale = self.scale
        pen.word_right(x + 28.0 * scale, y + 15.0 * scale, self.part.figure, 18.0 * scale, BOLD)
        swatch(
            pen, Area(x + 34.0 * scale, y + 4.5 * scale, 11.0 * scale, 11.0 * scale), self.part.lab
        )
        self._words.draw(pen, x + 50.0 * scale, y + 3.0 * scale)


@dataclass(frozen=True)
class StepRow:
    """What the hand does, beside the colour of the puddle after it."""

    step: StepLine
    width: float
    scale: float

    @cached_property
    def _words(self) -> Stack:
        across, size = self.width - 24.0 * self.scale, 9.0 * self.scale
        warnings = (WarningRow(text, across, size) for text in self.step.warnings)
        return Stack((Text(safe(self.step.words), across, size), *warnings), gap=1.0)

    @property
    def height(self) -> float:
        """Height in points."""
        return max(self._words.height, 18.0 * self.scale)

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the row."""
        side = 18.0 * self.scale
        swatch(pen, Area(x, y, side, side), self.step.lab)
        slack = max(side - self._words.height, 0.0) / 2.0
        self._words.draw(pen, x + 24.0 * self.scale, y + slack)


@dataclass(frozen=True)
class AlternativeRow:
    """Another recipe in a line, beside its colour."""

    alternative: Alternative
    width: float
    size: float

    @cached_property
    def _words(self) -> Text:
        other = self.alternative
        told = f"{other.parts} ({other.distance}). {other.remarks}"
        markup = f"{strong(other.why)}: {safe(told)}"
        return Text(markup, self.width - 2.4 * self.size, self.size)

    @property
    def height(self) -> float:
        """Height in points."""
        return max(self._words.height, 1.7 * self.size)

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the row."""
        side = 1.7 * self.size
        swatch(pen, Area(x, y, side, side), self.alternative.lab)
        slack = max(side - self._words.height, 0.0) / 2.0
        self._words.draw(pen, x + 2.4 * self.size, y + slack)


@dataclass(frozen=True)
class WarningRow:
    """A sentence behind the sign of warning."""

    text: str
    width: float
    size: float
    font: str = PLAIN

    @cached_property
    def _words(self) -> Text:
        return Text(safe(self.text), self.width - 1.5 * self.size, self.size, self.font)

    @property
    def height(self) -> float:
        """Height in points."""
        return self._words.height

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the row."""
        pen.warning(x + 0.5, y + 0.2 * self.size, 0.9 * self.size)
        self._words.draw(pen, x + 1.5 * self.size, y)


def swatch(pen: Pen, area: Area, lab: Array) -> None:
    """Draw a small field of a colour inside a thin line."""
    pen.paint(area, lab)
    pen.frame(area, 0.4)
