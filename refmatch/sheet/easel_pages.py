"""The easel page: all puddles on one side of paper, to be read at an arm's length."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from refmatch.say.sentence import NBSP
from refmatch.sheet.blocks import Text, draw_head, safe
from refmatch.sheet.content import Content, EaselLine
from refmatch.sheet.pen import BOLD, GROUND, PLAIN, SOFT, Area, Pen, fitted, width

HEAD = 36.0
"""Points for the line at the top of the page and the words below it."""

SCALES = (
    1.9,
    1.75,
    1.6,
    1.5,
    1.4,
    1.3,
    1.2,
    1.1,
    1.05,
    1.0,
    0.96,
    0.92,
    0.88,
    0.84,
    0.8,
    0.75,
    0.7,
)
"""How far the words grow to fill the page, largest first."""

SMALL_ENOUGH = 1.2
"""At this scale and below a name too long is cut; above, the words shrink until all names fit."""

ORDER, SWATCHES, RIM, BETWEEN = 22.0, 104.0, 5.0, 10.0
"""Points at scale 1: the place in the work, both swatches, grey around them, before the words."""

LEAST, MOST = 25.0, 180.0
"""Points: least height of a row at scale 1, and what one may grow to."""

SEAM = 0.3
"""Points by which a row's grey runs under the next, so that no paper shows between them."""


@dataclass(frozen=True)
class EaselRow:
    """A puddle: its place, its number on the photo, photo and mix edge to edge, its parts."""

    line: EaselLine
    width: float
    scale: float

    @property
    def _words_at(self) -> float:
        return (ORDER + SWATCHES + BETWEEN) * self.scale

    @cached_property
    def _parts(self) -> Text:
        across, size = self.width - self._words_at, 10.5 * self.scale
        rows = "&nbsp;+ ".join(
            f'<font name="{BOLD}" size="{13.0 * self.scale:g}">{safe(figure)}</font>&nbsp;'
            f"{safe(_together(words, size, across - 3.0 * size))}"
            for figure, words in self.line.parts
        )
        return Text(rows or safe(self.line.remark), across, size, leading=1.28)

    @property
    def height(self) -> float:
        """The least height in which everything stands."""
        return max(18.0 * self.scale + self._parts.height, LEAST * self.scale)

    def draw_in(self, pen: Pen, area: Area) -> None:
        """Draw the row in an area at least as high as it; the swatches grow with it."""
        line, scale = self.line, self.scale
        left = area.x + ORDER * scale
        ground = Area(left, area.y, SWATCHES * scale, area.height + SEAM)
        pen.grey(ground, GROUND)
        field = Area(left, area.y, SWATCHES * scale, area.height).inset(RIM * 0.6)
        labs = [lab for lab in (line.target, line.mix) if lab is not None]
        for place, lab in enumerate(labs):
            wide = field.width / len(labs)
            pen.paint(Area(field.x + place * wide, field.y, wide, field.height), lab)
        top = area.y + max(area.height - self.height, 0.0) / 2.0
        pen.word(area.x, top + 12.0 * scale, f"{line.order}.", 11.0 * scale, PLAIN, level=SOFT)
        self._draw_title(pen, area.x + self._words_at, top + 1.0 * scale, area.right)
        self._parts.draw(pen, area.x + self._words_at, top + 15.0 * scale)

    def _draw_title(self, pen: Pen, x: float, y: float, right: float) -> None:
        line, scale = self.line, self.scale
        size, baseline = 10.5 * scale, y + 11.0 * scale
        if line.numbers:
            x += pen.badge(x, y, self._plate, size, BOLD) + 6.0 * scale
        room = right - x - width(self._value, PLAIN, size) - 8.0 * scale
        pen.word(x, baseline, fitted(line.label, BOLD, size, room), size, BOLD)
        pen.word_right(right, baseline, self._value, size, PLAIN)

    @property
    def _plate(self) -> str:
        return ", ".join(map(str, self.line.numbers))

    @property
    def _value(self) -> str:
        line = self.line
        return f"{line.value}, {line.remark}" if line.remark and line.parts else line.value

    @property
    def names_fit(self) -> bool:
        """Whether number, name and value stand on one line, nothing of them left out."""
        size = 10.5 * self.scale
        plate = width(self._plate, BOLD, size) + 14.0 * self.scale if self.line.numbers else 0.0
        needed = plate + width(self.line.label, BOLD, size) + width(self._value, PLAIN, size)
        return needed + 8.0 * self.scale <= self.width - self._words_at


def _together(words: str, size: float, room: float) -> str:
    """Return what a figure counts so that it breaks into lines only where it must."""
    return words.replace(" ", NBSP) if width(words, PLAIN, size) <= room else words


@dataclass(frozen=True)
class EaselPage:
    """Some rows on one page, evenly spread."""

    rows: tuple[EaselRow, ...]
    area: Area
    title: str
    words: str
    of: str

    def draw(self, pen: Pen) -> None:
        """Draw the head and the rows."""
        area = self.area
        draw_head(pen, area, self.title, self.of)
        pen.word(area.x, area.y + 24.0, fitted(self.words, PLAIN, 8.5, area.width), 8.5, level=SOFT)
        spare = area.height - HEAD - sum(row.height for row in self.rows)
        grow = max(spare / len(self.rows), 0.0)
        y = area.y + HEAD
        for row in self.rows:
            high = max(row.height, min(row.height + grow, MOST))
            row.draw_in(pen, Area(area.x, y, area.width, high))
            y += high


def pages(content: Content, area: Area) -> tuple[EaselPage, ...]:
    """Return one page with the largest words that keep it one; more only where none would do."""
    if not content.easel:
        return ()
    room = area.height - HEAD
    for scale in SCALES:
        rows = [EaselRow(line, area.width, scale) for line in content.easel]
        groups = _split(rows, room)
        fit = scale <= SMALL_ENOUGH or all(row.names_fit for row in rows)
        if fit and len(groups) == 1:
            break
    return tuple(
        EaselPage(
            tuple(group),
            area,
            content.title,
            content.easel_words,
            "at the easel" if len(groups) == 1 else f"at the easel, page {page} of {len(groups)}",
        )
        for page, group in enumerate(groups, start=1)
    )


def _split(rows: Sequence[EaselRow], room: float) -> list[list[EaselRow]]:
    groups: list[list[EaselRow]] = [[]]
    left = room
    for row in rows:
        if groups[-1] and row.height > left:
            groups.append([])
            left = room
        groups[-1].append(row)
        left -= row.height
    return groups
