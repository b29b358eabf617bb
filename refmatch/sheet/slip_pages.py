"""The pages of slips: evenly filled, their words as large as the number of pages allows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from refmatch.sheet.blocks import draw_head
from refmatch.sheet.compact import CompactBlock
from refmatch.sheet.content import Content
from refmatch.sheet.pen import BOLD, LINE, Area, Pen
from refmatch.sheet.plan_pages import PlanPage
from refmatch.sheet.slip import SlipBlock

SlipKind = type[SlipBlock] | type[CompactBlock]

HEAD, GUTTER = 22.0, 18.0
"""Points for the line at the top of the page, and between two columns."""


@dataclass(frozen=True)
class Form:
    """How slips look: their kind, their columns on a page, and how far their words may grow.

    The scales are the largest first; the last of them gives the number of pages.
    """

    kind: SlipKind
    columns: int
    scales: tuple[float, ...]


FORMS: dict[str, Form] = {
    "full": Form(SlipBlock, 1, (1.3, 1.2, 1.1, 1.0)),
    "compact": Form(CompactBlock, 2, (1.3, 1.2, 1.15, 1.1, 1.05, 1.0, 0.95, 0.9)),
}

LEAST_BELOW = 150.0
"""Points that must be left below a plan for slips to stand there."""

SMALLER = (0.9, 0.8, 0.7, 0.6, 0.5)
"""How far a slip shrinks that is too long for a page."""

Blocks = tuple[SlipBlock | CompactBlock, ...]


@dataclass(frozen=True)
class SlipsPage:
    """Some slips on one page, column by column."""

    columns: tuple[Blocks, ...]
    area: Area
    title: str
    of: str
    under: PlanPage | None = None

    def draw(self, pen: Pen) -> None:
        """Draw the slips from the top, and room for trials where much is left."""
        if self.under is not None:
            self.under.draw(pen)
        draw_head(pen, self.area, "" if self.under else self.title, f"slips, page {self.of}")
        across = _across(self.area, len(self.columns))
        ends = [
            self._draw_column(pen, slips, self.area.x + place * (across + GUTTER), across)
            for place, slips in enumerate(self.columns)
        ]
        y, top = max(ends), self.area.y + HEAD
        for place in range(1, len(self.columns)):
            middle = self.area.x + place * (across + GUTTER) - GUTTER / 2.0
            pen.rule(middle, top, middle, y - self.columns[0][0].gap, 0.4)
        _draw_trials(pen, Area(self.area.x, y, self.area.width, self.area.bottom - y))

    def _draw_column(self, pen: Pen, slips: Blocks, x: float, across: float) -> float:
        """Draw slips one below the other; return where the next would begin."""
        gap = slips[0].gap
        spare = self.area.height - HEAD - _needed([slip.height for slip in slips], gap)
        grow = min(spare / len(slips), slips[0].most_stretch)
        y = self.area.y + HEAD
        for position, slip in enumerate(slips):
            if position:
                pen.rule(x, y - gap / 2.0, x + across, y - gap / 2.0, 0.4)
            height = slip.height + grow
            slip.draw_in(pen, Area(x, y, across, height))
            y += height + gap
        return y


def _across(area: Area, columns: int) -> float:
    return (area.width - GUTTER * (columns - 1)) / columns


def pages_below(
    plan: tuple[PlanPage, ...], content: Content, area: Area
) -> tuple[PlanPage | SlipsPage, ...]:
    """Return the plan's pages and those of slips; a few small slips stand below the plan."""
    slips = pages(content, area)
    if not plan or content.slip_size != "compact" or len(slips) != 1:
        return (*plan, *slips)
    *first, last = plan
    room = last.left
    fitting = pages(content, room) if room.height > LEAST_BELOW else ()
    if len(fitting) != 1 or not all(_fits(page) for page in fitting):
        return (*plan, *slips)
    return (*first, replace(fitting[0], under=last))


def _fits(page: SlipsPage) -> bool:
    """Say whether the slips stand on the page as they are, none of them shrunk."""
    smallest = FORMS["compact"].scales[-1]
    return all(slip.scale >= smallest for slips in page.columns for slip in slips)


def pages(content: Content, area: Area) -> tuple[SlipsPage, ...]:
    """Return as few pages as the slips need, with the largest words that keep them so few."""
    room, form = area.height - HEAD, FORMS[content.slip_size]
    if not content.slips:
        return ()
    columns = min(form.columns, len(content.slips))
    fewest = len(_pages(_blocks(content, area, columns, form.scales[-1]), room, columns))
    for scale in form.scales:
        groups = _pages(_blocks(content, area, columns, scale), room, columns)
        if len(groups) <= fewest:
            break
    return tuple(
        SlipsPage(group, area, content.title, f"{page} of {len(groups)}")
        for page, group in enumerate(groups, start=1)
    )


def _pages(blocks: Blocks, room: float, columns: int) -> list[tuple[Blocks, ...]]:
    """Return the columns page by page."""
    gap = blocks[0].gap
    filled = _split([block.height for block in blocks], room, gap, columns)
    runs = [tuple(blocks[index] for index in group) for group in filled]
    return [tuple(runs[start : start + columns]) for start in range(0, len(runs), columns)]


def _blocks(content: Content, area: Area, columns: int, scale: float) -> Blocks:
    kind, across = FORMS[content.slip_size].kind, _across(area, columns)
    return tuple(_fitting(kind(slip, across, scale), area) for slip in content.slips)


def _fitting(block: SlipBlock | CompactBlock, area: Area) -> SlipBlock | CompactBlock:
    """Return the slip, smaller where its words would run off a page of its own."""
    for scale in SMALLER:
        if block.height <= area.height - HEAD:
            break
        block = replace(block, scale=min(scale, block.scale))
    return block


def _split(heights: Sequence[float], room: float, gap: float, columns: int) -> list[list[int]]:
    """Return which slips go in which column: the fewest pages, then the most even columns."""
    fewest = _fill(heights, room, gap)
    most = -(-len(fewest) // columns) * columns
    for part in range(2, 100):
        groups = _fill(heights, room * part / 100.0, gap)
        if len(groups) <= most:
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
