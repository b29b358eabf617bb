"""The pages of a student's hand-out, and how blocks flow down the columns of a class's pages."""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

from reportlab.pdfgen.canvas import Canvas

from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.card import size_mm
from refmatch.say import atelier as say
from refmatch.sheet import card
from refmatch.sheet.blocks import Block, Row, Stack, Text, draw_head, safe, strong
from refmatch.sheet.content import Content, OtherShown
from refmatch.sheet.cover import draw_photo
from refmatch.sheet.handout import Answered, Guess, Handout
from refmatch.sheet.pdf import MARGIN, by_photo
from refmatch.sheet.pen import (
    BOLD,
    GROUND,
    LINE,
    MM,
    PLAIN,
    SOFT,
    WHITE,
    Area,
    Pen,
    fitted,
    register,
    visible,
)
from refmatch.sheet.slip import Title, WarningRow
from refmatch.sheet.value_strip import ValueStrip

HEAD, GAP, COLUMNS = 22.0, 12.0, 2
NAME_SIZE = 20.0


class Page(Protocol):
    """A page that is drawn whole."""

    def draw(self, pen: Pen) -> None:
        """Draw it."""


# Blocks that flow down columns, from page to page.


def columns_of(blocks: Iterable[Block], rooms: Iterator[Area], gap: float) -> list[_Column]:
    """Return the blocks in columns, each as high as the next room; one too high has its own.

    A block of a group begins a column under the group's name.
    """
    columns, room = [], next(rooms)
    held: list[Block] = []
    for block in blocks:
        used = sum(one.height for one in held) + gap * len(held)
        if held and used + block.height > room.height:
            columns.append(_Column(tuple(held), room, gap))
            held, room = [block.again] if isinstance(block, Grouped) else [], next(rooms)
        held.append(block)
    return [*columns, _Column(tuple(held), room, gap)]


@dataclass(frozen=True)
class Grouped:
    """A row of a group, and the group's name, to stand over it where it begins a column."""

    row: Block
    again: Block

    @property
    def height(self) -> float:
        return self.row.height

    def draw(self, pen: Pen, x: float, y: float) -> None:
        self.row.draw(pen, x, y)


@dataclass(frozen=True)
class _Column:
    blocks: tuple[Block, ...]
    room: Area
    gap: float

    def draw(self, pen: Pen) -> None:
        Stack(self.blocks, self.gap).draw(pen, self.room.x, self.room.y)


# The first page of a hand-out: blank slips to guess by, under the photo; the value strip.

SLIP_HIGH, SWATCH, LINES = 72.0, 44.0, 3
PHOTO_HIGH, PHOTOS_BELOW, NAME_BELOW = 205.0, HEAD + 54.0, 12.0


@dataclass(frozen=True)
class _BlankSlip:
    guess: Guess
    width: float
    height: float = SLIP_HIGH

    def draw(self, pen: Pen, x: float, y: float) -> None:
        """Draw the colour with a place for the dab beside it, and lines for tubes and parts."""
        Title(self.guess.number, self.guess.label, self.width, 10.0).draw(pen, x, y)
        top = y + 18.0
        ground = Area(x, top, 2.0 * SWATCH + 10.0, SWATCH + 6.0)
        pen.grey(ground, GROUND)
        pen.paint(Area(x + 4.0, top + 3.0, SWATCH, SWATCH), self.guess.target)
        dab = Area(x + 4.0 + SWATCH, top + 3.0, SWATCH, SWATCH)
        pen.grey(dab, WHITE)
        pen.word_middle(dab.x + SWATCH / 2.0, top + 29.0, say.DAB, 8.0, level=LINE)
        left = ground.right + 8.0
        for line in range(LINES):
            under = top + 14.0 + 16.0 * line
            pen.rule(left, under, left + 26.0, under, 0.4)
            pen.rule(left + 32.0, under, x + self.width, under, 0.4)
        pen.word(left, top + 54.0, say.PARTS, 6.5, level=SOFT)
        pen.word(left + 32.0, top + 54.0, say.TUBE, 6.5, level=SOFT)


@dataclass(frozen=True)
class _GuessPage:
    handout: Handout
    slips: tuple[tuple[Guess, Area], ...]
    area: Area
    first: bool

    def draw(self, pen: Pen) -> None:
        handout, area = self.handout, self.area
        draw_head(pen, area, _running(handout), say.GUESS_FIRST)
        if self.first:
            _draw_name(pen, area, handout.student)
            Text(safe(say.GUESS_HOW), area.width, 9.0).draw(pen, area.x, area.y + HEAD + 26.0)
            Photos(handout.photo, area.width).draw(pen, area.x, area.y + PHOTOS_BELOW)
            strip = ValueStrip(area.width, handout.steps)
            strip.draw(pen, area.x, area.bottom - strip.height)
        for guess, place in self.slips:
            _BlankSlip(guess, place.width).draw(pen, place.x, place.y)


@dataclass(frozen=True)
class Photos:
    """The lesson's photo with its holes, in the middle; beside it the others, by their names."""

    photo: Content
    width: float
    most_high: float = PHOTO_HIGH

    @property
    def _high(self) -> float:
        aspects = (self.photo.aspect, *(other.aspect for other in self.photo.others))
        room = self.width - GAP * (len(aspects) - 1)
        return min(self.most_high, room / sum(aspects))

    @property
    def height(self) -> float:
        return self._high + (NAME_BELOW if self.photo.others else 0.0)

    def draw(self, pen: Pen, x: float, y: float) -> None:
        named: list[tuple[Content | OtherShown, str]] = [(self.photo, "")]
        named += [(other, other.name) for other in self.photo.others]
        wide = [self._high * photo.aspect for photo, _ in named]
        x += (self.width - sum(wide) - GAP * (len(wide) - 1)) / 2.0
        for (photo, name), across in zip(named, wide, strict=True):
            draw_photo(pen, photo, Area(x, y, across, self._high))
            pen.word(x, y + self._high + 10.0, fitted(name, PLAIN, 8.0, across), 8.0, level=SOFT)
            x += across + GAP


def _guess_pages(handout: Handout, area: Area) -> list[Page]:
    left, pages = list(handout.guesses), list[Page]()
    while left or not pages:
        top = area.y + HEAD
        bottom = area.bottom
        if not pages:
            top = area.y + PHOTOS_BELOW + Photos(handout.photo, area.width).height + 12.0
            bottom -= ValueStrip(area.width, handout.steps).height + 8.0
        places = _grid(Area(area.x, top, area.width, bottom - top))
        slips, left = left[: len(places)], left[len(places) :]
        placed = tuple(zip(slips, places[: len(slips)], strict=True))
        pages.append(_GuessPage(handout, placed, area, first=not pages))
    return pages


def _grid(room: Area) -> list[Area]:
    """Return places of blank slips, row by row."""
    wide = (room.width - GAP * (COLUMNS - 1)) / COLUMNS
    rows = max(int((room.height + 6.0) / (SLIP_HIGH + 6.0)), 1)
    return [
        Area(room.x + column * (wide + GAP), room.y + row * (SLIP_HIGH + 6.0), wide, SLIP_HIGH)
        for row in range(rows)
        for column in range(COLUMNS)
    ]


# The second page of a hand-out: the recipes.

PAIR_WIDE, PAIR_HIGH = 62.0, 40.0


@dataclass(frozen=True)
class Pair:
    """The target beside the mix, edge to edge on neutral grey."""

    target: Array
    mix: Array
    width: float = PAIR_WIDE
    height: float = PAIR_HIGH

    def draw(self, pen: Pen, x: float, y: float) -> None:
        pen.grey(Area(x, y, self.width, self.height), GROUND)
        rim = 3.0
        half = (self.width - 2.0 * rim) / 2.0
        first = Area(x + rim, y + rim, half, self.height - 2.0 * rim)
        pen.paint(first, self.target)
        pen.paint(Area(first.right, first.y, half, first.height), self.mix)


@dataclass(frozen=True)
class _Figure:
    """A row of the recipe: how many parts, and of what."""

    figure: str
    words: str
    width: float

    @cached_property
    def _text(self) -> Text:
        return Text(safe(self.words), self.width - 24.0, 10.0, leading=1.2)

    @property
    def height(self) -> float:
        return max(self._text.height, 13.0)

    def draw(self, pen: Pen, x: float, y: float) -> None:
        pen.word_right(x + 18.0, y + 10.0, self.figure, 11.5, BOLD)
        self._text.draw(pen, x + 24.0, y)


def _answer(answer: Answered, width: float) -> Block:
    """Return a target with its recipe."""
    across = width - PAIR_WIDE - 6.0
    rows = [_Figure(figure, words, across) for figure, words in answer.parts]
    total = Text(safe(f"{answer.total} · {answer.nearness}"), width, 7.5, level=SOFT)
    return Stack(
        (
            Title(answer.number, answer.label, width, 10.5),
            Text(safe(answer.words), width, 8.0, level=SOFT),
            Row(((0.0, Pair(answer.target, answer.mix)), (PAIR_WIDE + 6.0, Stack(tuple(rows))))),
            total,
            *(WarningRow(text, width, 8.5) for text in answer.remarks),
        ),
        gap=2.5,
    )


@dataclass(frozen=True)
class _ColumnsPage:
    """Columns under a running head, and on the first page a large name over them."""

    columns: tuple[_Column, ...]
    area: Area
    running: str
    said: str
    name: str = ""
    lead: str = ""

    def draw(self, pen: Pen) -> None:
        draw_head(pen, self.area, self.running, self.said)
        if self.name:
            _draw_name(pen, self.area, self.name)
            Text(safe(self.lead), self.area.width, 9.0).draw(
                pen, self.area.x, self.area.y + HEAD + 26.0
            )
        for column in self.columns:
            column.draw(pen)


def _recipe_pages(handout: Handout, area: Area) -> list[Page]:
    wide = (area.width - GAP) / 2.0
    blocks: list[Block] = [_answer(answer, wide) for answer in handout.answers]
    blocks.append(_notes(handout, wide))
    return flowed(blocks, area, Said(_running(handout), say.YOUR_RECIPES, handout.student))


def _notes(handout: Handout, width: float) -> Block:
    laid = "; ".join(f"{tube}: {size}" for tube, size in handout.squeezes)
    warned = [Text(safe(text), width, 8.0) for text in handout.cautions]
    return Stack(
        (
            Text(strong(say.LAY_OUT), width, 9.5),
            Text(safe(f"{laid}."), width, 8.5),
            Text(strong(say.BEWARE), width, 9.5),
            *warned,
        ),
        gap=3.0,
    )


@dataclass(frozen=True)
class Said:
    """What stands over pages: the running head, which page it is, a name, how to read them."""

    running: str
    page: str
    name: str
    lead: str = say.RECIPES_HOW


def flowed(blocks: Sequence[Block], area: Area, said: Said, count: int = COLUMNS) -> list[Page]:
    """Return blocks in columns, as many pages as they take; the first page has the name."""
    lead = Text(safe(said.lead), area.width, 9.0).height
    tall = HEAD + 30.0 + lead + 8.0

    def rooms() -> Iterator[Area]:
        wide = (area.width - GAP * (count - 1)) / count
        top = area.y + tall
        while True:
            for column in range(count):
                yield Area(area.x + column * (wide + GAP), top, wide, area.bottom - top)
            top = area.y + HEAD

    columns = columns_of(blocks, rooms(), 11.0 if count > 1 else 5.0)
    groups = [columns[at : at + count] for at in range(0, len(columns), count)]
    return [
        _ColumnsPage(
            tuple(group),
            area,
            said.running,
            said.page if len(groups) == 1 else f"{said.page}, page {number} of {len(groups)}",
            name=said.name if number == 1 else "",
            lead=said.lead,
        )
        for number, group in enumerate(groups, start=1)
    ]


def _running(handout: Handout) -> str:
    return f"{handout.class_name} · {handout.photo.title}"


def _draw_name(pen: Pen, area: Area, name: str) -> None:
    pen.word(
        area.x, area.y + HEAD + 18.0, fitted(name, BOLD, NAME_SIZE, area.width), NAME_SIZE, BOLD
    )


# The files.


def write_handouts(handouts: Sequence[Handout], paper: str = "a4") -> bytes:
    """Return the hand-outs of one or many students as one PDF, the photo within it once.

    Raises:
        UsageError: no such paper.
    """
    size = size_of(paper)
    names = handouts[0].student if len(handouts) == 1 else handouts[0].class_name
    stream, canvas = canvas_for(size, f"{names}: hand-out")
    area = Area(0.0, 0.0, *size).inset(MARGIN)
    for number, handout in enumerate(handouts, start=1):
        key = f"student-{number}"
        canvas.bookmarkPage(key)
        canvas.addOutlineEntry(visible(handout.student), key)
        draw_all(canvas, [*_guess_pages(handout, area), *_recipe_pages(handout, area)], size)
        for shown in by_photo(handout.photo):
            card.draw(canvas, shown, size, MARGIN)
    canvas.save()
    return stream.getvalue()


def draw_all(canvas: Canvas, pages: Iterable[Page], size: tuple[float, float]) -> None:
    for page in pages:
        canvas.setPageSize(size)
        page.draw(Pen(canvas, *size))
        canvas.showPage()


def size_of(paper: str) -> tuple[float, float]:
    width, height = size_mm(paper)
    return width * MM, height * MM


def canvas_for(size: tuple[float, float], title: str) -> tuple[io.BytesIO, Canvas]:
    register()
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=size, invariant=1, initialFontName=PLAIN)
    canvas.setTitle(visible(title))
    canvas.setCreator("refmatch")
    return stream, canvas
