"""A class's lesson, as it is told at the prompt."""

from __future__ import annotations

from collections.abc import Iterator

from refmatch.atelier.amounts import class_table
from refmatch.atelier.mixes import Lesson
from refmatch.say.atelier import (
    lead,
    loan_lines,
    nearness,
    remarks,
    spread_words,
    table_row,
    table_words,
)
from refmatch.say.recipe import tubes_line
from refmatch.say.sentence import counted
from refmatch.say.sheet import heading


def lesson(told: Lesson) -> Iterator[str]:
    """Yield the lines: each target with all answers, what to lend, and the class table."""
    yield f"{told.roll.name}. {lead(told)}"
    for at, target in enumerate(told.targets):
        yield f"\n{at + 1}  {heading(target, at + 1)}. {spread_words(told.spreads[at])}"
        for seat in told.everybody:
            mix = seat.mixes[at]
            yield f"   {seat.name}: {tubes_line(mix.recipe)} ({nearness(mix)})"
            yield from (f"      {words}" for words in remarks(mix))
    loans = loan_lines(told)
    if loans:
        yield "\nTo lend"
        yield from (f"   {line}" for line in loans)
    yield f"\nFor the class table. {table_words(told)}"
    for row in class_table(told):
        paint, volume, tubes, users = table_row(row, len(told.everybody))
        yield f"   {paint}: {volume}, {counted(int(tubes), 'tube')} of 37 ml; {users}"
