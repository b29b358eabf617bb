"""The pages of strings: each puddle, and the steps by which its complement takes it to grey."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from refmatch.colorimetry.spectrum import Array
from refmatch.say.sheet import GREYS_WORDS
from refmatch.sheet.blocks import Block, Row, Stack, Text, draw_head, safe, strong
from refmatch.sheet.content import Content, Lesson
from refmatch.sheet.pen import GROUND, MM, SOFT, Area, Pen
from refmatch.sheet.slip import Title

HEAD, BETWEEN = 22.0, 16.0
"""Points for the line at the top of the page, and between strings."""

SWATCH_MM, RIM = 22.0, 8.0
"""Height of the colours, and points of neutral grey round a string."""

MOST = 5
"""Strings on a page."""


@dataclass(frozen=True, eq=False)
class Colours:
    """The colours of a string edge to edge on neutral grey, as a step is judged."""

    labs: tuple[Array, ...]
    width: float

    @property
    def height(self) -> float:
        """Height in points."""
        return SWATCH_MM * MM

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the colours from left to right."""
        pen.grey(Area(x, y, self.width, self.height), GROUND)
        across = (self.width - 2.0 * RIM) / len(self.labs)
        for place, lab in enumerate(self.labs):
            area = Area(x + RIM + place * across, y + RIM, across, self.height - 2.0 * RIM)
            pen.paint(area, lab)


@dataclass(frozen=True, eq=False)
class StringBlock:
    """All that is shown of one puddle."""

    lesson: Lesson
    width: float

    @property
    def height(self) -> float:
        """Height in points."""
        return self._stack.height

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the puddle's name, what greys it, and its string."""
        self._stack.draw(pen, x, y)

    @cached_property
    def _stack(self) -> Stack:
        lesson = self.lesson
        title = Title(lesson.number, lesson.label, self.width, 12.0)
        words = Text(safe(lesson.to_grey_words), self.width, 8.5)
        if not lesson.to_grey:
            return Stack((title, words), gap=4.0)
        colours = Colours((lesson.mix, *(step.lab for step in lesson.to_grey)), self.width)
        return Stack((title, words, colours, self._captions()), gap=4.0)

    def _captions(self) -> Row:
        lesson = self.lesson
        across = (self.width - 2.0 * RIM) / (len(lesson.to_grey) + 1)
        steps = [(step.parts, step.value, step.holds) for step in lesson.to_grey]
        captions = (
            (RIM + place * across, _caption(*lines, across - 4.0))
            for place, lines in enumerate([("the puddle", lesson.value, ""), *steps])
        )
        return Row(tuple(captions))


def _caption(parts: str, value: str, holds: str, across: float) -> Block:
    return Stack(
        (
            Text(strong(parts), across, 10.0),
            Text(safe(value), across, 8.0),
            Text(safe(holds), across, 7.0, level=SOFT),
        )
    )


@dataclass(frozen=True)
class StringsPage:
    """A few strings on a page."""

    strings: tuple[StringBlock, ...]
    intro: Text
    area: Area
    title: str
    of: str

    def draw(self, pen: Pen) -> None:
        """Draw the head, what the page teaches, and the strings down the page."""
        draw_head(pen, self.area, self.title, f"strings to grey, page {self.of}")
        y = self.area.y + HEAD
        self.intro.draw(pen, self.area.x, y)
        y += self.intro.height + BETWEEN
        for block in self.strings:
            block.draw(pen, self.area.x, y)
            y += block.height + BETWEEN


def pages(content: Content, area: Area) -> tuple[StringsPage, ...]:
    """Return the pages of strings to grey; none where no nudges were asked for."""
    intro = Text(safe(GREYS_WORDS), area.width, 9.0)
    blocks = [StringBlock(lesson, area.width) for lesson in content.lessons]
    room = area.height - HEAD - intro.height - BETWEEN
    shared: list[list[StringBlock]] = []
    left = 0.0
    for block in blocks:
        if not shared or block.height > left or len(shared[-1]) == MOST:
            shared.append([])
            left = room
        shared[-1].append(block)
        left -= block.height + BETWEEN
    return tuple(
        StringsPage(tuple(page), intro, area, content.title, f"{number} of {len(shared)}")
        for number, page in enumerate(shared, start=1)
    )
