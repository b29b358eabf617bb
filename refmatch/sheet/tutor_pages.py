"""The tutor's sheet of a class: loans, the answers of all, and the class table."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from refmatch.colorimetry.spectrum import Array
from refmatch.say import atelier as say
from refmatch.sheet.blocks import Block, Row, Rule, Stack, Text, safe, strong
from refmatch.sheet.handout import AnswerGroup, AnswerRow, TutorSheet
from refmatch.sheet.handout_pages import (
    Grouped,
    Page,
    Pair,
    Photos,
    Said,
    canvas_for,
    draw_all,
    flowed,
    size_of,
)
from refmatch.sheet.pdf import MARGIN
from refmatch.sheet.pen import (
    SOFT,
    Area,
)
from refmatch.sheet.slip import Title

TOGETHER = 2
"""So many answers at least stand together at the foot of a page and at the head of the next."""


def _group(group: AnswerGroup, width: float) -> Iterator[Block]:
    """Yield a target's answers, its heading kept with the first two; no answer is left alone."""
    heading = Stack(
        (
            Rule(width, 0.8, 4.0),
            Row(
                (
                    (0.0, Title(group.number, group.label, 0.42 * width, 10.5)),
                    (0.44 * width, Text(safe(group.spread), 0.56 * width, 8.0)),
                )
            ),
            Text(safe(group.words), width, 8.0, level=SOFT),
        ),
        gap=2.0,
    )
    rows = [_answer_row(row, group.target, width) for row in group.rows]
    first = len(rows) if len(rows) <= TOGETHER + 1 else TOGETHER
    yield Stack((heading, *rows[:first]), gap=4.0)
    again = Title(group.number, f"{group.label}, {say.CONTINUED}", width, 10.5)
    last = max(len(rows) - TOGETHER, first)
    yield from (Grouped(row, again) for row in rows[first:last])
    if last < len(rows):
        yield Grouped(Stack(tuple(rows[last:]), gap=4.0), again)


def _answer_row(row: AnswerRow, target: Array, width: float) -> Block:
    name, recipe = 0.15 * width, 0.37 * width
    said = width - name - recipe - 46.0
    told = Stack(
        (
            Text(safe(row.nearness), said, 7.5, level=SOFT),
            *(Text(safe(text), said, 7.5) for text in row.remarks),
        )
    )
    return Row(
        (
            (0.0, Text(strong(row.name), name - 6.0, 8.5, most_lines=2)),
            (name, Pair(target, row.mix, 40.0, 16.0)),
            (name + 46.0, Text(safe(row.recipe), recipe - 10.0, 8.5, leading=1.2)),
            (name + 46.0 + recipe, told),
        )
    )


def _tutor_pages(sheet: TutorSheet, area: Area) -> list[Page]:
    wide = area.width
    blocks: list[Block] = [Photos(sheet.photo, wide)]
    blocks += _titled(say.LOANS, sheet.loans or (say.NO_LOANS,), wide)
    for group in sheet.groups:
        blocks += _group(group, wide)
    blocks += [_table(sheet, wide)]
    blocks += _titled(say.BEWARE, (*sheet.cautions, *sheet.flags), wide)
    said = Said(
        f"{sheet.class_name} · {sheet.photo.title}", say.TUTORS_SHEET, sheet.class_name, sheet.lead
    )
    return flowed(blocks, area, said, 1)


def _titled(title: str, texts: Sequence[str], width: float) -> list[Block]:
    head = Stack((Rule(width, 0.8, 4.0), Text(strong(title), width, 10.5)), gap=2.0)
    first, *rest = (Text(safe(text), width, 8.5) for text in texts)
    return [Stack((head, first), gap=3.0), *rest]


def _table(sheet: TutorSheet, width: float) -> Block:
    """Return the amounts of the class table."""
    lefts = (0.0, 0.42 * width, 0.54 * width, 0.66 * width)
    wides = (0.40 * width, 0.11 * width, 0.11 * width, 0.34 * width)

    def row(cells: Sequence[str], *, bold: bool = False) -> Block:
        texts = (strong(cell) if bold else safe(cell) for cell in cells)
        return Row(
            tuple(
                (left, Text(text, across, 8.5))
                for left, across, text in zip(lefts, wides, texts, strict=True)
            )
        )

    return Stack(
        (
            Rule(width, 0.8, 4.0),
            Text(strong(say.CLASS_TABLE), width, 10.5),
            Text(safe(sheet.table_words), width, 8.5),
            row(say.TABLE_HEAD, bold=True),
            *(row(cells) for cells in sheet.table),
        ),
        gap=2.5,
    )


def write_tutor(sheet: TutorSheet, paper: str = "a4") -> bytes:
    """Return the tutor's sheet as PDF.

    Raises:
        UsageError: no such paper.
    """
    size = size_of(paper)
    stream, canvas = canvas_for(size, f"{sheet.class_name}: tutor's sheet")
    draw_all(canvas, _tutor_pages(sheet, Area(0.0, 0.0, *size).inset(MARGIN)), size)
    canvas.save()
    return stream.getvalue()
