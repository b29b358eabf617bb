"""The pages of a plan: key, palette and its reach, the order of work, strings, and the layout.

They are one run of pieces, broken where a page is full; a heading keeps with what follows.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from refmatch.sheet.blocks import Block, Text, safe, strong
from refmatch.sheet.content import Content
from refmatch.sheet.fonts import PLAIN, fitted
from refmatch.sheet.pdf_plan_key import key_rows
from refmatch.sheet.pdf_plan_layout import LayoutBlock
from refmatch.sheet.pdf_plan_palette import known_block, tube_rows
from refmatch.sheet.pdf_plan_reach import ReachBlock
from refmatch.sheet.pdf_plan_strings import string_rows
from refmatch.sheet.pdf_plan_work import work_rows
from refmatch.sheet.pen import SOFT, Area, Pen
from refmatch.sheet.plan_content import OF_THE_TRADE, PRICES, PlanShown

HEAD, SECTION, CLOSE = 24.0, 18.0, 5.0
"""Points for the line at the top of a page, before a heading, and between what belongs together."""


@dataclass(frozen=True)
class Piece:
    """A block, the room above it, and whether the next must stand on the same page."""

    block: Block
    gap: float = CLOSE
    keeps: bool = False


@dataclass(frozen=True)
class PlanPage:
    """What stands on one page, each at its distance from the top."""

    placed: tuple[tuple[float, Block], ...]
    area: Area
    title: str
    of: str

    def draw(self, pen: Pen) -> None:
        """Draw the head and the pieces."""
        area = self.area
        short = fitted(self.title, PLAIN, 8.0, 0.75 * area.width)
        pen.word(area.x, area.y + 8.0, short, 8.0, level=SOFT)
        pen.word_right(area.right, area.y + 8.0, f"plan, page {self.of}", 8.0, level=SOFT)
        pen.rule(area.x, area.y + 12.0, area.right, area.y + 12.0, 0.6)
        for down, block in self.placed:
            block.draw(pen, area.x, area.y + HEAD + down)


def pages(content: Content, area: Area) -> tuple[PlanPage, ...]:
    """Return the pages of the plan; none where none was asked for."""
    if content.plan is None:
        return ()
    pieces = list(_pieces(content.plan, area.width))
    broken = _broken(pieces, area.height - HEAD)
    return tuple(
        PlanPage(placed, area, content.title, f"{number} of {len(broken)}")
        for number, placed in enumerate(broken, start=1)
    )


def _pieces(plan: PlanShown, width: float) -> Iterator[Piece]:
    yield from _section("The key", f"{plan.key.words} {plan.key.aim}", width)
    yield from _joined(key_rows(plan.key, width))
    yield from _section("The palette", plan.palette_words, width)
    yield from _joined(tube_rows(plan.tubes, width))
    yield Piece(Text(safe(plan.amounts_words), width, 8.0, level=SOFT))
    yield Piece(known_block(PRICES, plan.prices, width), 10.0)
    yield Piece(known_block(OF_THE_TRADE, plan.known, width), 10.0)
    yield Piece(ReachBlock(plan.reaches, plan.dots, width), SECTION)
    yield from _section("The order of work", plan.work_words, width)
    yield from _joined(work_rows(plan.work, width))
    for glaze in plan.glazes:
        yield Piece(Text(safe(glaze), width, 9.0), 8.0)
    yield Piece(LayoutBlock(plan.tubes, plan.work, width), SECTION)
    for place, string in enumerate(plan.strings):
        words = STRINGS_WORDS if place == 0 else ""
        if words:
            yield from _section("Strings", words, width)
        yield from _joined(string_rows(string, width), gap=10.0)


STRINGS_WORDS = (
    "One local colour from light to shadow, each step drawn from the one beside it. Left what the "
    "photo has there, right the puddle."
)


def _section(title: str, words: str, width: float) -> Iterator[Piece]:
    yield Piece(Text(strong(title), width, 14.0, leading=1.15), SECTION, keeps=True)
    yield Piece(Text(safe(words), width, 9.0), keeps=True)


def _joined(rows: Sequence[Block], gap: float = CLOSE) -> Iterator[Piece]:
    """Return rows that meet edge to edge; the first keeps with the second."""
    for place, row in enumerate(rows):
        yield Piece(row, 0.0 if place else gap, keeps=place == 0)


def _broken(pieces: Sequence[Piece], room: float) -> list[tuple[tuple[float, Block], ...]]:
    """Return the pieces page by page, each with its distance from the page's top."""
    pages: list[list[tuple[float, Block]]] = [[]]
    down = 0.0
    for together in _together(pieces):
        gap = together[0].gap if pages[-1] else 0.0
        high = sum(p.block.height for p in together) + sum(p.gap for p in together[1:])
        if pages[-1] and down + gap + high > room:
            pages.append([])
            down, gap = 0.0, 0.0
        for place, piece in enumerate(together):
            down += piece.gap if place else gap
            pages[-1].append((down, piece.block))
            down += piece.block.height
    return [tuple(page) for page in pages]


def _together(pieces: Sequence[Piece]) -> Iterator[list[Piece]]:
    """Return runs of pieces that must stand on one page."""
    run: list[Piece] = []
    for piece in pieces:
        if piece.block.height <= 0.0:
            continue
        run.append(piece)
        if not piece.keeps:
            yield run
            run = []
    if run:
        yield run
