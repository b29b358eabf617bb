"""The masses on the cover: a bar of their shares, and each in words."""

from __future__ import annotations

from refmatch.sheet.blocks import Block, Row, Stack, Text, safe, strong
from refmatch.sheet.content import Content, MassShare
from refmatch.sheet.fonts import BOLD, width
from refmatch.sheet.pen import Area, Pen

MOST_TOLD = 14
"""Masses in words; more stand in the bar alone."""

MOST_ROWS, WIDE_ENOUGH = 8, 320.0
"""Rows in one column at most, where the block is as wide as that, in points."""


def mass_block(content: Content, across: float) -> Block:
    """Return the bar of shares and what each mass is, empty where there are no masses."""
    if not content.masses:
        return Stack(())
    title = Text(strong("Masses, by area"), across, 9.5)
    return Stack((title, _MassBar(content.masses, across), _rows(content, across)), gap=4.0)


def _rows(content: Content, across: float) -> Block:
    """Return a row for each mass, in two columns where there are many and room for them."""
    masses, others = content.masses[:MOST_TOLD], content.masses[MOST_TOLD:]
    rest = Text(f"and {len(others)} smaller ones" if others else "", across, 8.5)
    most_lines = 2 if len(masses) <= MOST_ROWS else 1
    if len(masses) <= MOST_ROWS or across < WIDE_ENOUGH:
        rows = (_MassRow(mass, across, most_lines) for mass in masses)
        return Stack((*rows, rest), gap=1.0)
    half, wide = -(-len(masses) // 2), across / 2.0
    columns = (masses[:half], masses[half:])
    stacks = [
        Stack(tuple(_MassRow(m, wide - 6.0, most_lines) for m in c), gap=1.0) for c in columns
    ]
    return Stack((Row(((0.0, stacks[0]), (wide + 6.0, stacks[1]))), rest), gap=1.0)


class _MassBar:
    """The masses as one bar, each as long as its share of the picture."""

    height = 20.0

    def __init__(self, masses: tuple[MassShare, ...], across: float) -> None:
        self.masses = masses
        self.across = across

    def draw(self, pen: Pen, x: float, y: float) -> None:
        whole = sum(mass.share for mass in self.masses)
        left = x
        for mass in self.masses:
            wide = self.across * mass.share / whole
            pen.paint(Area(left, y, wide, self.height), mass.lab)
            left += wide
        pen.frame(Area(x, y, self.across, self.height), 0.4)


class _MassRow:
    def __init__(self, mass: MassShare, across: float, most_lines: int) -> None:
        self.mass = mass
        self.across = across
        self.words = Text(safe(self._told()), across - 44.0, 8.5, most_lines=most_lines)

    def _told(self) -> str:
        return f"{self.mass.words} ({self.mass.number})" if self.mass.number else self.mass.words

    @property
    def height(self) -> float:
        return max(self.words.height, 10.5)

    def draw(self, pen: Pen, x: float, y: float) -> None:
        swatch = Area(x, y + 1.5, 9.0, 9.0)
        pen.paint(swatch, self.mass.lab)
        share = f"{100.0 * self.mass.share:.0f} %"
        pen.word(x + 38.0 - width(share, BOLD, 8.5), y + 8.8, share, 8.5, BOLD)
        self.words.draw(pen, x + 44.0, y)
