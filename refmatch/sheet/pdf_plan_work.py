"""The order of work as a tree: each puddle from tubes, and below it what is drawn from it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from refmatch.sheet.blocks import Block, Stack, Text, safe
from refmatch.sheet.fonts import BOLD
from refmatch.sheet.pen import GROUND, SOFT, Area, Pen
from refmatch.sheet.plan_content import WorkLine

STEP, FIGURE, ACROSS, DOWN, RIM = 30.0, 24.0, 76.0, 28.0, 4.0
"""Points: how far a drawn puddle is set in, the order's figure, width and height of the swatch."""


def work_rows(work: Sequence[WorkLine], width: float) -> Sequence[Block]:
    """Return a row a puddle; those drawn hang from their mother's line."""
    rows = (WorkRow(line, _is_last(work, place), width) for place, line in enumerate(work))
    return [_Heads(), *rows]


def _is_last(work: Sequence[WorkLine], place: int) -> bool:
    """Say whether no later puddle hangs from the same mother's line."""
    line = work[place]
    mother = line.order if line.drawn_from is None else line.drawn_from
    return not any(other.drawn_from == mother for other in work[place + 1 :])


class _Heads:
    """What the two halves of a swatch are."""

    height = 12.0

    def draw(self, pen: Pen, x: float, y: float) -> None:
        told = "Left what the puddle aims at, right the mix; one field where it is only drawn from."
        pen.word(x, y + 8.5, told, 8.0, level=SOFT)


@dataclass(frozen=True)
class WorkRow:
    """A puddle: its place in the work, target and mix edge to edge, and what to do."""

    line: WorkLine
    is_last: bool
    width: float

    @property
    def _indent(self) -> float:
        return 0.0 if self.line.drawn_from is None else STEP

    @cached_property
    def _words(self) -> Stack:
        line = self.line
        left = self._indent + FIGURE + ACROSS + 8.0
        told = [line.distance, line.amount, line.skins]
        named = "" if line.number is None else f"for slip {line.number}"
        across = self.width - left
        return Stack(
            (
                Text(safe(line.words), across, 10.0, leading=1.2),
                Text(safe(", ".join(t for t in (named, *told) if t)), across, 8.0, level=SOFT),
            ),
            gap=1.0,
        )

    @property
    def height(self) -> float:
        """Height in points."""
        return max(self._words.height, DOWN) + 7.0

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the row and its piece of the tree."""
        line, left = self.line, x + self._indent
        top = y + 3.5
        self._draw_branch(pen, x + 8.0, y)
        pen.word(left, top + 13.0, f"{line.order}.", 12.0, BOLD)
        field = Area(left + FIGURE, top, ACROSS, DOWN)
        pen.grey(field, GROUND)
        inner = field.inset(RIM)
        pen.paint(inner, line.mix)
        if line.target is not None:
            pen.paint(Area(inner.x, inner.y, inner.width / 2.0, inner.height), line.target)
        self._words.draw(pen, field.right + 8.0, top)

    def _draw_branch(self, pen: Pen, stem: float, y: float) -> None:
        if self.line.drawn_from is None:
            if not self.is_last:
                pen.rule(stem, y + 24.0, stem, y + self.height, 0.8)
            return
        middle = y + 12.0
        pen.rule(stem, y, stem, middle if self.is_last else y + self.height, 0.8)
        pen.rule(stem, middle, stem + STEP - 12.0, middle, 0.8)
