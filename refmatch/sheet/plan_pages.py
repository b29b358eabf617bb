"""The pages of a plan: key, palette and its reach, the order of work, strings, and the layout.

They are one run of pieces, broken where a page is full; a heading keeps with what follows.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from refmatch.say.plan import OF_THE_TRADE, OWNED, PRICES, TO_BUY, slips
from refmatch.sheet.blocks import Block, Stack, Text, draw_head, safe, strong
from refmatch.sheet.compact_plan import key_rungs, line_columns, string_blocks, tube_columns
from refmatch.sheet.content import Content
from refmatch.sheet.palette_pages import LayoutBlock, ReachBlock, known_block, tube_rows
from refmatch.sheet.pen import BOLD, GROUND, SOFT, Area, Pen
from refmatch.sheet.plan_content import (
    KeyLine,
    KeyShown,
    PlanShown,
    StringLine,
    StringShown,
    WorkLine,
)

# The key on its page: a ladder of the targets by value, photo and keyed edge to edge.

SIDE, RIM, LEAST = 58.0, 5.0, 21.0
"""Points: width of one swatch, of the grey at either side, least height of a row."""

SEAM = 0.3
"""Points by which a row runs under the next, so that no paper shows between them."""

BADGE = 26.0
KEY_WORDS_AT = RIM * 2.0 + SIDE * 2.0 + BADGE + 8.0
"""Where the words begin."""


def key_rows(key: KeyShown, width: float) -> Sequence[Block]:
    """Return the ladder, a row a target, the lightest on top.

    Where every value stays, only those are left of which the photo does not know all.
    """
    is_moved = any(line.is_moved for line in key.lines)
    lines = [line for line in key.lines if is_moved or line.cautions]
    return (_KeyHeads(), *(KeyRow(line, width) for line in lines)) if lines else ()


class _KeyHeads:
    """What the two columns of swatches are."""

    height = 12.0

    def draw(self, pen: Pen, x: float, y: float) -> None:
        left = x + BADGE + RIM
        pen.word(left, y + 8.5, "photo", 8.0, level=SOFT)
        pen.word(left + SIDE, y + 8.5, "keyed", 8.0, level=SOFT)


@dataclass(frozen=True)
class KeyRow:
    """A target: its number, photo and keyed side by side, and both values."""

    line: KeyLine
    width: float

    @cached_property
    def _words(self) -> Stack:
        line, across = self.line, self.width - KEY_WORDS_AT
        words = f"{strong(line.label)} &nbsp; {safe(line.values)}"
        if len(line.label) > 60:
            words = strong(line.label)
        blocks: list[Block] = [Text(words, across, 9.0, leading=1.15)]
        if len(line.label) > 60:
            blocks.append(Text(safe(line.values), across, 9.0, leading=1.15))
        blocks += [Text(safe(caution), across, 8.0, level=SOFT) for caution in line.cautions]
        return Stack(tuple(blocks), gap=1.0)

    @property
    def height(self) -> float:
        """Height in points."""
        return max(LEAST, self._words.height + 6.0)

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the row; its swatches meet those above and below."""
        left, high = x + BADGE, self.height
        pen.grey(Area(left, y, 2.0 * (RIM + SIDE), high + SEAM), GROUND)
        pen.paint(Area(left + RIM, y, SIDE, high + SEAM), self.line.before)
        pen.paint(Area(left + RIM + SIDE, y, SIDE, high + SEAM), self.line.after)
        pen.badge(x, y + high / 2.0 - 6.1, str(self.line.number), 9.0, BOLD)
        self._words.draw(pen, x + KEY_WORDS_AT, y + (high - self._words.height) / 2.0)


# Strings as ladders: a local colour step by step, photo and puddle edge to edge.

STRING_FIGURE, STRING_SIDE, STRING_RIM, STRING_LEAST = 24.0, 58.0, 5.0, 27.0
STRING_WORDS_AT = STRING_FIGURE + 2.0 * (STRING_RIM + STRING_SIDE) + 8.0


def string_rows(string: StringShown, width: float) -> Sequence[Block]:
    """Return a heading and a row a step, in the order of work."""
    words = f"{slips(string.numbers)}. {string.words}"
    head = Text(f"{strong(string.label)} &nbsp; {safe(words)}", width, 9.5)
    return (_Below(head), *(StringRow(step, width) for step in string.steps))


@dataclass(frozen=True)
class _Below:
    """A heading with room below it."""

    head: Text

    @property
    def height(self) -> float:
        return self.head.height + 4.0

    def draw(self, pen: Pen, x: float, y: float) -> None:
        self.head.draw(pen, x, y)


@dataclass(frozen=True)
class StringRow:
    """One rung: its number, the photo's colour and the puddle's, and how it is drawn."""

    step: StringLine
    width: float

    @cached_property
    def _words(self) -> Stack:
        across = self.width - STRING_WORDS_AT
        return Stack(
            (
                Text(safe(self.step.words), across, 9.5, leading=1.15),
                Text(safe(self.step.looks), across, 8.0, level=SOFT),
            ),
            gap=1.0,
        )

    @property
    def height(self) -> float:
        """Height in points."""
        return max(STRING_LEAST, self._words.height + 5.0)

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the rung; it meets those above and below."""
        left, high = x + STRING_FIGURE, self.height
        pen.grey(Area(left, y, 2.0 * (STRING_RIM + STRING_SIDE), high + SEAM), GROUND)
        pen.paint(Area(left + STRING_RIM, y, STRING_SIDE, high + SEAM), self.step.wanted)
        pen.paint(Area(left + STRING_RIM + STRING_SIDE, y, STRING_SIDE, high + SEAM), self.step.mix)
        pen.word(x, y + high / 2.0 + 4.0, f"{self.step.order}.", 11.0, BOLD)
        self._words.draw(pen, x + STRING_WORDS_AT, y + (high - self._words.height) / 2.0)


# The order of work as a tree: each puddle from tubes, and below it what is drawn from it.

STEP, FIGURE, ACROSS, DOWN, WORK_RIM = 30.0, 24.0, 76.0, 28.0, 4.0
"""Points: how far a drawn puddle is set in, the order's figure, width and height of the swatch."""


def work_rows(work: Sequence[WorkLine], width: float) -> Sequence[Block]:
    """Return a row a puddle; those drawn hang from their mother's line."""
    rows = (WorkRow(line, _is_last(work, place), width) for place, line in enumerate(work))
    return [_WorkHeads(), *rows]


def _is_last(work: Sequence[WorkLine], place: int) -> bool:
    """Say whether no later puddle hangs from the same mother's line."""
    line = work[place]
    mother = line.order if line.drawn_from is None else line.drawn_from
    return not any(other.drawn_from == mother for other in work[place + 1 :])


class _WorkHeads:
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
        named = "" if line.number is None else f"for slip {line.number}"
        told = (named, line.amount, line.skins)
        across = self.width - left
        return Stack(
            (
                Text(safe(line.words), across, 10.0, leading=1.2),
                Text(safe(", ".join(part for part in told if part)), across, 8.0, level=SOFT),
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
        inner = field.inset(WORK_RIM)
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


LITTLE = 90.0
"""Points: a last page with less on it than this would be one orphan line."""

HEAD, SECTION, SMALL_SECTION, CLOSE = 24.0, 18.0, 12.0, 5.0
"""Points for the line at the top of a page, before a heading, the same beside small slips, and
between what belongs together."""


@dataclass(frozen=True)
class Piece:
    """A block, the room above it, and whether the next must stand on the same page."""

    block: Block
    gap: float = CLOSE
    keeps: bool = False


@dataclass(frozen=True)
class PlanPage:
    """What stands on one page, each at its distance from the top; ``of`` says which page it is."""

    placed: tuple[tuple[float, Block], ...]
    area: Area
    title: str
    of: str

    @property
    def left(self) -> Area:
        """What is left of the page below the pieces."""
        down, block = self.placed[-1]
        used = HEAD + down + block.height + SECTION
        return Area(self.area.x, self.area.y + used, self.area.width, self.area.height - used)

    def draw(self, pen: Pen) -> None:
        """Draw the head and the pieces."""
        area = self.area
        draw_head(pen, area, self.title, self.of)
        for down, block in self.placed:
            block.draw(pen, area.x, area.y + HEAD + down)


def pages(content: Content, area: Area) -> tuple[PlanPage, ...]:
    """Return the pages of the plan; none where none was asked for."""
    if content.plan is None:
        return ()
    is_small = content.slip_size == "compact"
    pieces = list((_small_pieces if is_small else _pieces)(content.plan, area.width))
    return paged(pieces, content.title, area, "plan", numbered=True)


def paged(
    pieces: Sequence[Piece], title: str, area: Area, what: str, *, numbered: bool = False
) -> tuple[PlanPage, ...]:
    """Return pieces page by page; ``what`` they are stands at the top of each."""
    broken = _broken(pieces, area.height - HEAD)
    numbered = numbered or len(broken) > 1
    return tuple(
        PlanPage(
            placed, area, title, f"{what}, page {number} of {len(broken)}" if numbered else what
        )
        for number, placed in enumerate(broken, start=1)
    )


def _pieces(plan: PlanShown, width: float) -> Iterator[Piece]:
    """Return all that the plan says."""
    yield from _section("The key", f"{plan.key.words} {plan.key.aim}", width)
    yield from _joined(key_rows(plan.key, width))
    yield from _section("The palette", plan.palette_words, width)
    yield from _joined(tube_rows(plan.tubes, width))
    yield Piece(Text(safe(plan.amounts_words), width, 8.0, level=SOFT))
    yield Piece(known_block(TO_BUY, plan.to_buy, width), 10.0)
    yield Piece(known_block(OWNED, plan.owned, width), 10.0)
    yield Piece(known_block(PRICES, plan.prices, width), 10.0)
    yield Piece(known_block(OF_THE_TRADE, plan.known, width), 10.0)
    yield Piece(ReachBlock(plan.reaches, plan.dots, width), SECTION)
    yield from _section("The order of work", plan.work_words, width)
    yield from _work(plan, width)
    yield from _glazes(plan, width)
    yield Piece(LayoutBlock(plan.tubes, plan.work, width), SECTION)
    for place, string in enumerate(plan.strings):
        if place == 0:
            yield from _section("Strings", STRINGS_WORDS.format(one="Left", other="right"), width)
        yield from _joined(string_rows(string, width), gap=10.0)


def _small_pieces(plan: PlanShown, width: float) -> Iterator[Piece]:
    """Return what the hand needs of a plan beside small slips."""
    yield from _section("The key", f"{plan.key.words} {plan.key.aim}", width, SMALL_SECTION)
    yield Piece(key_rungs(plan.key.lines, width))
    yield from _section("The palette", plan.palette_words, width, SMALL_SECTION)
    yield Piece(tube_columns(plan.tubes, width))
    yield Piece(Text(safe(plan.amounts_words), width, 8.0, level=SOFT))
    yield Piece(line_columns(TO_BUY, plan.to_buy, width), 10.0)
    yield Piece(line_columns(OWNED, plan.owned, width), 10.0)
    yield from _glazes(plan, width)
    for place, block in enumerate(string_blocks(plan.strings, width)):
        if place == 0:
            words = STRINGS_WORDS.format(one="Above", other="below")
            yield from _section("Strings", words, width, SMALL_SECTION)
        yield Piece(block, 8.0)


def _glazes(plan: PlanShown, width: float) -> Iterator[Piece]:
    for glaze in plan.glazes:
        yield Piece(Text(safe(glaze), width, 9.0), 8.0)


def _work(plan: PlanShown, width: float) -> Iterator[Piece]:
    """Return the order of work, by layers where there are any."""
    for place, layer in enumerate(dict.fromkeys(line.layer for line in plan.work)):
        rows = work_rows([line for line in plan.work if line.layer == layer], width)
        if layer:
            yield Piece(Text(strong(layer), width, 10.5), 10.0, keeps=True)
        yield from _joined(rows[1:] if place else rows)


STRINGS_WORDS = (
    "One local colour in the order to work it: from its middle up to the light, then from the "
    "middle down to the shadow. {one} what the photo has there, {other} the puddle."
)


def _section(title: str, words: str, width: float, gap: float = SECTION) -> Iterator[Piece]:
    yield Piece(Text(strong(title), width, 14.0, leading=1.15), gap, keeps=True)
    yield Piece(Text(safe(words), width, 9.0), keeps=True)


def _joined(rows: Sequence[Block], gap: float = CLOSE) -> Iterator[Piece]:
    """Return rows that meet edge to edge; no page ends with the first or begins with the last."""
    for place, row in enumerate(rows):
        keeps = place < min(2, len(rows) - 1) or place == len(rows) - 2
        yield Piece(row, 0.0 if place else gap, keeps=keeps)


def _broken(pieces: Sequence[Piece], room: float) -> list[tuple[tuple[float, Block], ...]]:
    """Return the pieces page by page, each with its distance from the page's top.

    What is left for the last page takes something of the page before along, where it is little.
    """
    pages: list[list[list[Piece]]] = [[]]
    for together in _together(pieces):
        if pages[-1] and _high([*pages[-1], together]) > room:
            pages.append([])
        pages[-1].append(together)
    if len(pages) > 1:
        last, before = pages[-1], pages[-2]
        while _high(last) < LITTLE and len(before) > 1 and _high([before[-1], *last]) <= room:
            last.insert(0, before.pop())
    return [tuple(_placed(page)) for page in pages]


def _high(runs: Sequence[Sequence[Piece]]) -> float:
    """Return how much room runs of pieces take on a page, nothing above the first."""
    pieces = [piece for run in runs for piece in run]
    return sum(p.block.height for p in pieces) + sum(p.gap for p in pieces[1:])


def _placed(runs: Sequence[Sequence[Piece]]) -> Iterator[tuple[float, Block]]:
    down = 0.0
    for place, piece in enumerate(piece for run in runs for piece in run):
        down += piece.gap if place else 0.0
        yield down, piece.block
        down += piece.block.height


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
