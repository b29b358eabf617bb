"""The plan kept small: what the hand needs of it, on one page beside small slips.

The easel page tells the work, and a full sheet what each tube fewer costs and what palettes
reach. What the camera lost is told on the slips.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from refmatch.say.plan import slips
from refmatch.sheet.blocks import Block, Row, Stack, Text, safe, strong
from refmatch.sheet.palette_pages import TubeRow
from refmatch.sheet.pen import BOLD, GROUND, PLAIN, Area, Pen, fitted, width
from refmatch.sheet.plan_content import KeyLine, StringLine, StringShown, TubeLine

GUTTER = 18.0
"""Points between two columns."""


def in_columns(blocks: Sequence[Block], across: float) -> Block:
    """Return blocks in two columns, down the left one first."""
    half = -(-len(blocks) // 2)
    left, right = Stack(tuple(blocks[:half])), Stack(tuple(blocks[half:]))
    return Row(((0.0, left), (_half(across) + GUTTER, right)))


def _half(across: float) -> float:
    return (across - GUTTER) / 2.0


# The key: one line a target, those that stay as they are left out.

SIDE, DOWN, SWATCH_RIM, BADGE = 26.0, 14.0, 3.0, 24.0
"""Points: width of one swatch, height of a rung, grey at either side, the number's plate."""

SEAM = 0.3
"""Points by which a rung runs under the next, so that no paper shows between them."""


def key_rungs(lines: Sequence[KeyLine], across: float) -> Block:
    """Return the targets that the key moves, the lightest first; nothing where it moves none."""
    rungs = [KeyRung(line, _half(across)) for line in lines if line.is_moved]
    return in_columns(rungs, across)


@dataclass(frozen=True)
class KeyRung:
    """A target: its number, photo and keyed edge to edge, both values."""

    line: KeyLine
    width: float
    height: float = DOWN

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the rung; it meets those above and below."""
        line, left = self.line, x + BADGE
        pen.grey(Area(left, y, 2.0 * (SWATCH_RIM + SIDE), DOWN + SEAM), GROUND)
        pen.paint(Area(left + SWATCH_RIM, y, SIDE, DOWN + SEAM), line.before)
        pen.paint(Area(left + SWATCH_RIM + SIDE, y, SIDE, DOWN + SEAM), line.after)
        pen.badge(x, y + 1.9, str(line.number), 7.5, BOLD)
        start, baseline = left + 2.0 * (SWATCH_RIM + SIDE) + 6.0, y + 9.8
        room = x + self.width - start - width(line.values, PLAIN, 8.0) - 6.0
        pen.word(start, baseline, fitted(line.label, BOLD, 8.0, room), 8.0, BOLD)
        pen.word_right(x + self.width, baseline, line.values, 8.0)


# The tubes of the palette.


def tube_columns(tubes: Sequence[TubeLine], across: float) -> Block:
    """Return the tubes in the order to lay them out."""
    return in_columns([TubeRow(tube, _half(across)) for tube in tubes], across)


def line_columns(title: str, lines: Sequence[str], across: float) -> Block:
    """Return a small heading and its lines in two columns."""
    if not lines:
        return Stack(())
    rows = [Text(safe(line), _half(across), 8.5, leading=1.2) for line in lines]
    return Stack((Text(strong(title), across, 9.5), in_columns(rows, across)), gap=2.5)


# Strings as bands, in the order of work.

MOST_STEPS, SHORT, BAND, BAND_RIM = 6, 3, 18.0, 3.0
"""Steps side by side, those of a string that leaves room for another beside it; points of a
band's height, and grey around it."""


def string_blocks(strings: Sequence[StringShown], across: float) -> Iterator[Block]:
    """Return the strings, those of few steps in pairs, each in its order of work."""
    long = [string for string in strings if len(string.steps) > SHORT]
    short = [string for string in strings if len(string.steps) <= SHORT]
    yield from (_string(string, across, MOST_STEPS) for string in long)
    half = [_string(string, _half(across), SHORT) for string in short]
    for start in range(0, len(half), 2):
        pair = half[start : start + 2]
        yield Row(tuple((n * (_half(across) + GUTTER), block) for n, block in enumerate(pair)))


def _string(string: StringShown, across: float, most: int) -> Block:
    """Return a heading and the steps, so many of them side by side."""
    words = f"{slips(string.numbers)}. {string.words}"
    head = Text(f"{strong(string.label)} &nbsp; {safe(words)}", across, 8.5)
    starts = range(0, len(string.steps), most)
    return Stack((head, *(Band(string.steps[n : n + most], across, most) for n in starts)), gap=3.0)


@dataclass(frozen=True)
class Band:
    """Some steps side by side: the photo's colour above the puddle's, and how it is drawn."""

    steps: Sequence[StringLine]
    width: float
    most: int

    @property
    def _across(self) -> float:
        return (self.width - 2.0 * BAND_RIM) / self.most

    @cached_property
    def _words(self) -> Row:
        return Row(
            tuple(
                (
                    BAND_RIM + place * self._across,
                    Text(f"<b>{s.order}.</b> {safe(s.words)}", self._across - 6.0, 7.5),
                )
                for place, s in enumerate(self.steps)
            )
        )

    @property
    def height(self) -> float:
        """Height in points."""
        return BAND + 2.0 * BAND_RIM + 2.0 + self._words.height

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the band and its words."""
        across = 2.0 * BAND_RIM + self._across * len(self.steps)
        pen.grey(Area(x, y, across, BAND + 2.0 * BAND_RIM), GROUND)
        for place, step in enumerate(self.steps):
            left = x + BAND_RIM + place * self._across
            pen.paint(Area(left, y + BAND_RIM, self._across, BAND / 2.0), step.wanted)
            pen.paint(Area(left, y + BAND_RIM + BAND / 2.0, self._across, BAND / 2.0), step.mix)
        self._words.draw(pen, x, y + BAND + 2.0 * BAND_RIM + 2.0)
