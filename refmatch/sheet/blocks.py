"""Pieces of a page that know their height before they are drawn, one below the other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Protocol
from xml.sax.saxutils import escape, unescape

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Paragraph

from refmatch.sheet.pen import INK, PLAIN, SOFT, Area, Pen, fitted, register, visible


class Block(Protocol):
    """Something of a known height that is drawn from its top left corner."""

    @property
    def height(self) -> float:
        """Height in points."""
        ...

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw with the top left corner at (x, y)."""
        ...


def strong(text: str) -> str:
    """Return text, made safe and bold, for a `Text` block."""
    return f"<b>{safe(text)}</b>"


def safe(text: str) -> str:
    """Return text for a `Text` block: printable throughout, nothing of it taken as markup."""
    return escape(visible(text))


@dataclass(frozen=True)
class Text:
    """Words that wrap in a width; ``markup`` comes from `safe` and `strong`.

    Where ``most_lines`` is given, what does not fit in so many ends in an ellipsis;
    then ``markup`` must be of one style throughout.
    """

    markup: str
    width: float
    size: float = 9.0
    font: str = PLAIN
    level: float = INK
    leading: float = 1.25
    most_lines: int | None = None

    @cached_property
    def _paragraph(self) -> Any:
        register()
        style = ParagraphStyle(
            "text",
            fontName=self.font,
            fontSize=self.size,
            leading=self.leading * self.size,
            textColor=(self.level,) * 3,
            splitLongWords=True,
        )
        paragraph = _wrapped(self.markup, style, self.width)
        if self.most_lines is None or _lines(paragraph) <= self.most_lines:
            return paragraph
        words, start, end = _inside(self.markup)
        words = words[: int(self.most_lines * self.width / (0.2 * self.size))]
        while words and _lines(paragraph) > self.most_lines:
            words = words[:-1].rstrip()
            paragraph = _wrapped(f"{start}{escape(words)}…{end}", style, self.width)
        return paragraph

    @property
    def height(self) -> float:
        """Height in points once wrapped."""
        return float(self._paragraph.height) if self.markup else 0.0

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the wrapped words."""
        if self.markup:
            self._paragraph.drawOn(pen.canvas, x, pen.height - y - self.height)


def _wrapped(markup: str, style: ParagraphStyle, width: float) -> Any:
    paragraph = Paragraph(markup, style)
    paragraph.wrap(width, 10_000.0)
    return paragraph


def _lines(paragraph: Any) -> int:
    return len(paragraph.blPara.lines)


def _inside(markup: str) -> tuple[str, str, str]:
    """Return the plain words of a markup of one style, and the tags around them."""
    start, end = ("<b>", "</b>") if markup.startswith("<b>") else ("", "")
    return unescape(markup.removeprefix(start).removesuffix(end)), start, end


@dataclass(frozen=True)
class Stack:
    """Blocks one below the other, ``gap`` points apart; empty ones take no room."""

    blocks: tuple[Block, ...]
    gap: float = 0.0

    @property
    def height(self) -> float:
        """Height of all blocks and the gaps between them."""
        seen = self._seen
        return sum(block.height for block in seen) + self.gap * max(len(seen) - 1, 0)

    @property
    def _seen(self) -> Sequence[Block]:
        return [block for block in self.blocks if block.height > 0.0]

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the blocks downwards."""
        for block in self._seen:
            block.draw(pen, x, y)
            y += block.height + self.gap


@dataclass(frozen=True)
class Row:
    """Blocks side by side, each at its own distance from the left, tops level."""

    blocks: tuple[tuple[float, Block], ...]

    @property
    def height(self) -> float:
        """Height of the tallest block."""
        return max((block.height for _, block in self.blocks), default=0.0)

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the blocks from left to right."""
        for along, block in self.blocks:
            block.draw(pen, x + along, y)


@dataclass(frozen=True)
class Rule:
    """A line across, of a thickness in points."""

    across: float
    thick: float = 0.4
    height: float = 1.0

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the line."""
        pen.rule(x, y, x + self.across, y, self.thick)


def draw_head(pen: Pen, area: Area, title: str, page: str) -> None:
    """Draw the line at the top of a page: the sheet's title, as much as fits, and which page."""
    short = fitted(title, PLAIN, 8.0, 0.75 * area.width)
    pen.word(area.x, area.y + 8.0, short, 8.0, level=SOFT)
    pen.word_right(area.right, area.y + 8.0, page, 8.0, level=SOFT)
    pen.rule(area.x, area.y + 12.0, area.right, area.y + 12.0, 0.6)


HEAD = 22.0
"""Points for the line at the top of a page."""


@dataclass(frozen=True)
class BlocksPage:
    """Blocks one below the other, ``between`` points apart, under what the page teaches."""

    blocks: tuple[Block, ...]
    intro: Text
    area: Area
    title: str
    of: str
    between: float
    ruled: bool = False

    @staticmethod
    def room(area: Area, intro: Text, between: float) -> float:
        """Return how much of the page is left for blocks."""
        return area.height - HEAD - intro.height - between / 2.0

    def draw(self, pen: Pen) -> None:
        """Draw the head, what the page teaches, and the blocks down the page."""
        area = self.area
        draw_head(pen, area, self.title, self.of)
        y = area.y + HEAD
        self.intro.draw(pen, area.x, y)
        y += self.intro.height + self.between / 2.0
        for position, block in enumerate(self.blocks):
            if position and self.ruled:
                middle = y - self.between / 2.0
                pen.rule(area.x, middle, area.right, middle, 0.6)
            block.draw(pen, area.x, y)
            y += block.height + self.between
