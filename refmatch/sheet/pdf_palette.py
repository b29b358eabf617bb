"""The palette on the cover: which tubes, in what order, and how much of each."""

from __future__ import annotations

from functools import cached_property

from refmatch.sheet.blocks import Block, Stack, Text, safe, strong
from refmatch.sheet.content import Content, Squeeze
from refmatch.sheet.pen import LINE, SOFT, Area, Pen

COLUMNS = (4, 5)
"""What the grid may be; the lower one is taken."""
DAB_WORDS = "The small dab is the tint in 9 of white."
LARGEST, SMALLEST = 13.0, 3.0
"""Radius in points of the largest and of the smallest squeeze."""


class PaletteBlock:
    """The tubes in a grid, read like text, each with its masstone and its tint."""

    def __init__(self, content: Content, across: float) -> None:
        self.content = content
        self.across = across

    @property
    def height(self) -> float:
        """Height in points."""
        return self._stack.height

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the title and the grid."""
        self._stack.draw(pen, x, y)

    @cached_property
    def _stack(self) -> Stack:
        content, across = self.content, self.across
        if not content.palette:
            return Stack((Text(safe(content.palette_words), across, 9.0),), gap=6.0)
        told = f"{content.palette_words} {DAB_WORDS}"
        told += f" Not needed from this box: {content.unused}." if content.unused else ""
        title = f"{strong('Palette: lay out in this order.')} {safe(told)}"
        return Stack(
            (
                Text(title, across, 9.0),
                min((_Grid(content.palette, across, n) for n in COLUMNS), key=_height),
            ),
            gap=6.0,
        )


class _Grid:
    def __init__(self, palette: tuple[Squeeze, ...], across: float, columns: int) -> None:
        largest = max((squeeze.volume_ml for squeeze in palette), default=1.0)
        wide = across / columns
        cells = [_Cell(squeeze, wide, largest) for squeeze in palette]
        self.rows = [cells[start : start + columns] for start in range(0, len(cells), columns)]
        self.wide = wide
        self.across = across

    @property
    def height(self) -> float:
        return sum(_high(row) for row in self.rows) + 8.0 if self.rows else 0.0

    def draw(self, pen: Pen, x: float, y: float) -> None:
        pen.frame(Area(x, y, self.across, self.height), 0.6, LINE)
        y += 4.0
        for row in self.rows:
            for column, cell in enumerate(row):
                cell.draw(pen, x + column * self.wide, y)
            y += _high(row)


class _Cell:
    def __init__(self, squeeze: Squeeze, wide: float, largest_ml: float) -> None:
        self.squeeze = squeeze
        # A blob's width goes with the cube root of its volume.
        share = (squeeze.volume_ml / largest_ml) ** (1.0 / 3.0)
        self.radius = max(LARGEST * share, SMALLEST)
        across = wide - 2.0 * LARGEST - 20.0
        same = squeeze.pigments.lower().replace("-", " ") == squeeze.tube.lower()
        pigments = "" if same else squeeze.pigments
        told = f"{safe(squeeze.size)}, for&nbsp;{safe(squeeze.serves)}"
        blocks: tuple[Block, ...] = (
            Text(strong(squeeze.tube), across, 9.0, leading=1.15, most_lines=3),
            Text(safe(pigments), across, 7.5, level=SOFT, most_lines=1),
            Text(told, across, 8.5, leading=1.15),
        )
        self.words = Stack(blocks, gap=0.5)

    @property
    def height(self) -> float:
        return max(self.words.height, 2.0 * LARGEST) + 8.0

    def draw(self, pen: Pen, x: float, y: float) -> None:
        middle = y + LARGEST + 4.0
        across = x + 6.0 + LARGEST
        pen.dab(across + self.radius + 2.0, middle + self.radius * 0.5, 4.5, self.squeeze.tint)
        pen.dab(across, middle, self.radius, self.squeeze.masstone)
        self.words.draw(pen, x + 2.0 * LARGEST + 17.0, y + 4.0)


def _height(grid: _Grid) -> float:
    return grid.height


def _high(row: list[_Cell]) -> float:
    return max(cell.height for cell in row)
