"""What a class's hand-outs say: a student's own, and the tutor's sheet with all answers.

As plain data, in words and Labs; the writers decide nothing about colour.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

from refmatch.atelier.amounts import class_table, of_seat, puddles_ml
from refmatch.atelier.mixes import Lesson, Mix, Seat
from refmatch.colorimetry.spectrum import Array
from refmatch.dabs.value_finder import PLAIN, Steps
from refmatch.painting.model import TubeOnTable
from refmatch.plan.layers import GLAZE, Brushed, PaintLayer, puddle_in
from refmatch.say import atelier as say
from refmatch.say import sheet as say_sheet
from refmatch.say.layers import GLAZE_REMARK, driers, layer_and_medium
from refmatch.say.plan import squeeze_words
from refmatch.say.recipe import laid_rows, total_words, tubes_line
from refmatch.say.sentence import sentence_of
from refmatch.sheet.compose import Wanted, compose
from refmatch.sheet.content import Content


@dataclass(frozen=True, eq=False)
class Guess:
    """A blank slip: what is to be mixed, and no word on how."""

    number: int
    label: str
    words: str
    target: Array


@dataclass(frozen=True, eq=False)
class Answered:
    """A target and what a box makes of it.

    ``parts`` are pairs of a figure and what it counts; ``remarks`` say what the hand must know:
    out of reach, and what to borrow.
    """

    number: int
    label: str
    words: str
    target: Array
    mix: Array
    parts: tuple[tuple[str, str], ...]
    total: str
    nearness: str
    remarks: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class Handout:
    """One student's pages; ``photo`` is the lesson's photo with its holes, for page and card.

    ``steps`` are those of the value strip.
    """

    student: str
    class_name: str
    photo: Content
    guesses: tuple[Guess, ...]
    answers: tuple[Answered, ...]
    squeezes: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    steps: Steps = PLAIN


@dataclass(frozen=True, eq=False)
class AnswerRow:
    """Somebody's answer in the tutor's table."""

    name: str
    mix: Array
    recipe: str
    nearness: str
    remarks: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class AnswerGroup:
    """A target in the tutor's table: the aim, how far the class lies apart, all answers."""

    number: int
    label: str
    words: str
    target: Array
    spread: str
    rows: tuple[AnswerRow, ...]


@dataclass(frozen=True, eq=False)
class TutorSheet:
    """The tutor's sheet: all answers, who lends to whom, the class table, cautions."""

    class_name: str
    photo: Content
    lead: str
    loans: tuple[str, ...]
    groups: tuple[AnswerGroup, ...]
    table_words: str
    table: tuple[tuple[str, str, str, str], ...]
    cautions: tuple[str, ...]
    flags: tuple[str, ...]


class Printed:
    """A class's lesson as it is printed; what all hand-outs share is made once.

    ``steps`` are those of the value strip, for the printer at hand where it was measured.
    """

    def __init__(self, lesson: Lesson, steps: Steps = PLAIN) -> None:
        self.lesson, self.steps = lesson, steps

    @cached_property
    def photo(self) -> Content:
        """The lesson's photo, its holes and its values."""
        opened = self.lesson.opened
        return compose(opened.painting, opened.pictures, Wanted(pages="slips"))

    @cached_property
    def _heads(self) -> tuple[Guess, ...]:
        painting = self.lesson.painting
        heads = []
        for at, (target, words) in enumerate(zip(painting.targets, painting.words, strict=True)):
            label = say_sheet.heading(target, at + 1)
            told = say_sheet.beside_heading(words.colour, label)
            found = puddle_in(painting.layers, at)
            layer = _layer(*found) if found else ""
            where = say.in_photo(label, target.photo)
            heads.append(Guess(at + 1, where, " · ".join(filter(None, (told, layer))), target.lab))
        return tuple(heads)

    def handout(self, seat: Seat) -> Handout:
        """Return a student's hand-out."""
        painting, owed = self.lesson.painting, of_seat(seat, puddles_ml(self.lesson.painting))
        title = f"{seat.name} · {painting.title}"
        return Handout(
            student=seat.name,
            class_name=self.lesson.roll.name,
            photo=replace(self.photo, title=title),
            guesses=self._heads,
            answers=tuple(
                _answered(head, mix, painting.parts_by)
                for head, mix in zip(self._heads, seat.mixes, strict=True)
            ),
            squeezes=tuple((tube, squeeze_words(volume)) for tube, volume in owed.items()),
            cautions=(
                *say_sheet.cautions([tube for tube in seat.table if tube.name in owed]),
                *driers(painting.layers),
            ),
            steps=self.steps,
        )

    @property
    def tutor(self) -> TutorSheet:
        """The tutor's sheet."""
        lesson = self.lesson
        seats = lesson.everybody
        rows = class_table(lesson)
        return TutorSheet(
            class_name=lesson.roll.name,
            photo=self.photo,
            lead=say.lead(lesson),
            loans=say.loan_lines(lesson),
            groups=tuple(
                AnswerGroup(
                    number=head.number,
                    label=head.label,
                    words=head.words,
                    target=head.target,
                    spread=say.spread_words(lesson.spreads[at]),
                    rows=tuple(_row(seat, seat.mixes[at]) for seat in seats),
                )
                for at, head in enumerate(self._heads)
            ),
            table_words=say.table_words(lesson),
            table=tuple(say.table_row(row, len(seats)) for row in rows),
            cautions=(*say_sheet.cautions(_tables(seats)), *driers(lesson.painting.layers)),
            flags=tuple(dict.fromkeys(sentence_of(flag) for flag in lesson.flags)),
        )


def _answered(head: Guess, mix: Mix, parts_by: str) -> Answered:
    recipe = mix.recipe
    return Answered(
        number=head.number,
        label=head.label,
        words=head.words,
        target=head.target,
        mix=recipe.lab,
        parts=tuple((str(parts), words) for parts, words in laid_rows(recipe)),
        total=total_words(recipe, parts_by),
        nearness=say.nearness(mix),
        remarks=say.remarks(mix),
    )


def _layer(layer: PaintLayer, puddle: Brushed) -> str:
    said = layer_and_medium(layer, puddle)
    return f"{said}. {GLAZE_REMARK}" if layer.name == GLAZE else said


def _row(seat: Seat, mix: Mix) -> AnswerRow:
    return AnswerRow(
        seat.name, mix.recipe.lab, tubes_line(mix.recipe), say.nearness(mix), say.remarks(mix)
    )


def _tables(seats: tuple[Seat, ...]) -> list[TubeOnTable]:
    """Return each tube that is used, once a name."""
    used = {portion.tube for seat in seats for mix in seat.mixes for portion in mix.recipe.portions}
    found = {tube.name: tube for seat in reversed(seats) for tube in seat.table}
    return [tube for name, tube in found.items() if name in used]
