"""The pages of strings: each puddle, and the steps by which its complement takes it to grey."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from refmatch.colorimetry.spectrum import Array
from refmatch.say.sheet import GREYS_WORDS
from refmatch.sheet.blocks import Block, BlocksPage, Row, Stack, Text, safe, strong
from refmatch.sheet.content import Content, Lesson
from refmatch.sheet.pen import GROUND, MM, SOFT, Area, Pen
from refmatch.sheet.slip import Title

BETWEEN = 16.0
"""Points between strings."""

SWATCH_MM, RIM = 22.0, 8.0
"""Height of the colours, and points of neutral grey round a string."""


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


def pages(content: Content, area: Area) -> tuple[BlocksPage, ...]:
    """Return the pages of strings to grey, of each puddle that has one."""
    intro = Text(safe(GREYS_WORDS), area.width, 9.0)
    blocks = [StringBlock(lesson, area.width) for lesson in content.lessons if lesson.to_grey]
    room = BlocksPage.room(area, intro, BETWEEN)
    shared: list[list[StringBlock]] = []
    left = 0.0
    for block in blocks:
        if not shared or block.height > left:
            shared.append([])
            left = room
        shared[-1].append(block)
        left -= block.height + BETWEEN
    _even_out(shared)
    return tuple(
        BlocksPage(
            blocks=tuple(page),
            intro=intro,
            area=area,
            title=content.title,
            of=f"strings to grey, page {number} of {len(shared)}",
            between=BETWEEN,
        )
        for number, page in enumerate(shared, start=1)
    )


def _even_out(shared: list[list[StringBlock]]) -> None:
    """Let the last page take along what makes it about as full as the one before."""
    if len(shared) < 2:
        return
    last, before = shared[-1], shared[-2]
    while _high([before[-1], *last]) < _high(before):
        last.insert(0, before.pop())


def _high(blocks: list[StringBlock]) -> float:
    return sum(block.height + BETWEEN for block in blocks)
