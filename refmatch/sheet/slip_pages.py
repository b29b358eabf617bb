"""The pages of slips: evenly filled, their words as large as the number of pages allows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from refmatch.sheet.blocks import draw_head
from refmatch.sheet.compact import CompactBlock
from refmatch.sheet.content import Content
from refmatch.sheet.pen import BOLD, LINE, Area, Pen
from refmatch.sheet.slip import SlipBlock

SlipKind = type[SlipBlock] | type[CompactBlock]

HEAD = 22.0
"""Points for the line at the top of the page."""

KINDS: dict[str, tuple[SlipKind, tuple[float, ...]]] = {
    "full": (SlipBlock, (1.3, 1.2, 1.1, 1.0)),
    "compact": (CompactBlock, (1.15, 1.1, 1.05, 1.0, 0.95)),
}
"""How slips look, and how far their words may grow, largest first; the last gives the pages."""

SMALLER = (0.9, 0.8, 0.7, 0.6, 0.5)
"""How far a slip shrinks that is too long for a page."""

MOST_STRETCH = 70.0
"""Points by which a slip grows to fill a page; more becomes room for trials."""


@dataclass(frozen=True)
class SlipsPage:
    """Some slips on one page."""

    slips: tuple[SlipBlock | CompactBlock, ...]
    area: Area
    title: str
    of: str

    def draw(self, pen: Pen) -> None:
        """Draw the slips from the top, and room for trials where much is left."""
        draw_head(pen, self.area, self.title, f"slips, page {self.of}")
        room = self.area.height - HEAD
        gap = self.slips[0].gap
        spare = room - _needed([slip.height for slip in self.slips], gap)
        grow = min(spare / len(self.slips), MOST_STRETCH)
        y = self.area.y + HEAD
        for position, slip in enumerate(self.slips):
            if position:
                pen.rule(self.area.x, y - gap / 2.0, self.area.right, y - gap / 2.0, 0.4)
            height = slip.height + grow
            slip.draw_in(pen, Area(self.area.x, y, self.area.width, height))
            y += height + gap
        _draw_trials(pen, Area(self.area.x, y, self.area.width, self.area.bottom - y))


def pages(content: Content, area: Area) -> tuple[SlipsPage, ...]:
    """Return as few pages as the slips need, with the largest words that keep them so few."""
    room = area.height - HEAD
    kind, scales = KINDS[content.slip_size]
    fewest = len(
        _split([s.height for s in _blocks(content, area, kind, scales[-1])], room, kind.gap)
    )
    for scale in scales:
        blocks = _blocks(content, area, kind, scale)
        groups = _split([block.height for block in blocks], room, kind.gap)
        if len(groups) <= fewest:
            break
    return tuple(
        SlipsPage(
            tuple(blocks[index] for index in group), area, content.title, f"{page} of {len(groups)}"
        )
        for page, group in enumerate(groups, start=1)
    )


def _blocks(
    content: Content, area: Area, kind: SlipKind, scale: float
) -> list[SlipBlock | CompactBlock]:
    return [_fitting(kind(slip, area.width, scale), area) for slip in content.slips]


def _fitting(block: SlipBlock | CompactBlock, area: Area) -> SlipBlock | CompactBlock:
    """Return the slip, smaller where its words would run off a page of its own."""
    for scale in SMALLER:
        if block.height <= area.height - HEAD:
            break
        block = replace(block, scale=min(scale, block.scale))
    return block


def _split(heights: Sequence[float], room: float, gap: float) -> list[list[int]]:
    """Return which slips go on which page: the fewest pages, then the most even."""
    fewest = _fill(heights, room, gap)
    for part in range(50, 100):
        groups = _fill(heights, room * part / 100.0, gap)
        if len(groups) == len(fewest):
            return groups
    return fewest


def _fill(heights: Sequence[float], room: float, gap: float) -> list[list[int]]:
    groups: list[list[int]] = []
    for index, height in enumerate(heights):
        last = [heights[i] for i in groups[-1]] if groups else []
        if groups and _needed([*last, height], gap) <= room:
            groups[-1].append(index)
        else:
            groups.append([index])
    return groups


def _needed(heights: Sequence[float], gap: float) -> float:
    return sum(heights) + gap * (len(heights) - 1)


def _draw_trials(pen: Pen, area: Area) -> None:
    """Turn what is left of a page into places for further dabs, each with a line to write on."""
    if area.height < 90.0:
        return
    pen.rule(area.x, area.y - 6.0, area.right, area.y - 6.0, 0.4)
    pen.word(area.x, area.y + 9.0, "Trials: a dab, and its parts below", 9.0, BOLD)
    columns = 5
    across = (area.width - 12.0 * (columns - 1)) / columns
    rows = max(int((area.height - 16.0) // 100.0), 1)
    down = (area.height - 16.0) / rows
    for row in range(rows):
        for column in range(columns):
            x, y = area.x + column * (across + 12.0), area.y + 16.0 + row * down
            pen.frame(Area(x, y, across, down - 30.0), 0.5, LINE)
            pen.rule(x, y + down - 12.0, x + across, y + down - 12.0, 0.3)
