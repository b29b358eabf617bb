"""The pages of nudges: for each puddle what moves it which way, two puddles to a page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from refmatch.sheet.blocks import Block, BlocksPage, Row, Rule, Stack, Text, safe, strong
from refmatch.sheet.content import Content, Lesson, NudgeLine
from refmatch.sheet.pen import GROUND, MM, SOFT, Area, Pen
from refmatch.sheet.slip import Title

GAP, BETWEEN = 12.0, 22.0
"""Points between columns, and between puddles."""

SWATCH_MM = 21.0, 11.0
"""Width and height of the two colours of a nudge, so that a step is seen at a glance."""

HALVES = "Left the mix, right what becomes of it."

SCALES = (1.2, 1.15, 1.1, 1.05, 1.0, 0.94, 0.88, 0.8, 0.7, 0.6, 0.5)
"""How far swatches and words grow to fill a page of two puddles, or shrink to stand on it."""


@dataclass(frozen=True)
class NudgeCell:
    """A way, its tube in words, and the mix beside what becomes of it."""

    nudge: NudgeLine
    mix: Lesson
    width: float
    scale: float

    @property
    def _swatch(self) -> tuple[float, float]:
        across, down = SWATCH_MM
        return across * MM * self.scale, down * MM * self.scale

    @cached_property
    def _words(self) -> Stack:
        across = self.width - self._swatch[0] - 8.0
        nudge, scale = self.nudge, self.scale
        return Stack(
            (
                Text(strong(nudge.direction), across, 11.0 * scale, leading=1.15),
                Text(safe(nudge.words), across, 8.5 * scale, leading=1.2),
                Text(safe(nudge.differences), across, 7.5 * scale, level=SOFT),
            ),
            gap=1.0,
        )

    @property
    def height(self) -> float:
        """Height in points."""
        return max(self._words.height, self._swatch[1])

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the two colours edge to edge on neutral grey, and the words beside them."""
        across, down = self._swatch
        rim = 4.0 * self.scale
        pen.grey(Area(x, y, across, down), GROUND)
        half = (across - 2.0 * rim) / 2.0
        before = Area(x + rim, y + rim, half, down - 2.0 * rim)
        after = Area(before.right, before.y, half, before.height)
        pen.paint(before, self.mix.mix)
        if self.nudge.lab is not None:
            pen.paint(after, self.nudge.lab)
        self._words.draw(pen, x + across + 8.0, y)


@dataclass(frozen=True)
class LessonBlock:
    """All that is taught of one puddle."""

    lesson: Lesson
    width: float
    scale: float

    @property
    def height(self) -> float:
        """Height in points."""
        return self._stack.height

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the puddle's name and its table."""
        self._stack.draw(pen, x, y)

    @cached_property
    def _stack(self) -> Stack:
        lesson, scale = self.lesson, self.scale
        parts = Text(safe(lesson.parts), self.width, 8.5 * scale, level=SOFT)
        nudges, instead = self._pairs(lesson.nudges), self._pairs(lesson.instead)
        head = Stack((Title(lesson.number, lesson.label, self.width, 12.5 * scale), parts), gap=2.0)
        return Stack(
            (head, *nudges, Rule(self.width), *instead, self._no_string()), gap=7.0 * scale
        )

    def _no_string(self) -> Block:
        """Return why there is no string to grey; one that there is has a page of its own."""
        lesson = self.lesson
        markup = (
            "" if lesson.to_grey else f"{strong('to grey')} &nbsp; {safe(lesson.to_grey_words)}"
        )
        return Text(markup, self.width, 8.5 * self.scale)

    def _pairs(self, nudges: Sequence[NudgeLine]) -> list[Block]:
        """Return rows of two: opposite ways follow one another, and so stand side by side."""
        return [self._row(nudges[start : start + 2]) for start in range(0, len(nudges), 2)]

    def _row(self, nudges: Sequence[NudgeLine]) -> Block:
        across = (self.width - GAP) / 2.0
        cells = (NudgeCell(nudge, self.lesson, across, self.scale) for nudge in nudges)
        return Row(tuple((column * (across + GAP), cell) for column, cell in enumerate(cells)))


def pages(content: Content, area: Area) -> tuple[BlocksPage, ...]:
    """Return the pages of nudges, two puddles on each; none where none were asked for."""
    intro = Text(safe(f"{content.lessons_words} {HALVES}"), area.width, 9.0)
    room = BlocksPage.room(area, intro, BETWEEN)
    pairs = [content.lessons[start : start + 2] for start in range(0, len(content.lessons), 2)]
    return tuple(
        BlocksPage(
            blocks=_fitting(pair, area.width, room),
            intro=intro,
            area=area,
            title=content.title,
            of=f"nudges, page {number} of {len(pairs)}",
            between=BETWEEN,
            ruled=True,
        )
        for number, pair in enumerate(pairs, start=1)
    )


def _fitting(pair: Sequence[Lesson], width: float, room: float) -> tuple[LessonBlock, ...]:
    for scale in SCALES:
        blocks = tuple(LessonBlock(lesson, width, scale) for lesson in pair)
        if sum(block.height for block in blocks) + BETWEEN * (len(blocks) - 1) <= room:
            break
    return blocks
