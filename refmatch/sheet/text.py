"""The mixing sheet as plain text, for a terminal, a printer of words, or a screen reader."""

from __future__ import annotations

from collections.abc import Iterator

from refmatch.sheet import text_plan
from refmatch.sheet.content import Content, Lesson, Slip
from refmatch.sheet.text_lines import WIDTH as WIDTH
from refmatch.sheet.text_lines import wrapped as _wrapped


def write(content: Content) -> str:
    """Return the sheet as text, lines of at most 80 characters where words allow."""
    lines = [*_cover(content)]
    if content.plan is not None:
        lines += text_plan.lines(content.plan)
    for slip in content.slips:
        lines += ["", *_slip(slip)]
    if content.lessons:
        lines += ["", "NUDGES", *_wrapped(content.lessons_words, "  ")]
    for lesson in content.lessons:
        lines += ["", *_lesson(lesson)]
    lines += ["", "CARE", *_wrapped(" ".join(content.cautions), "  ")]
    for flag in content.flags:
        lines += _wrapped(flag, "  ! ")
    lines += ["", "LIGHT", *_wrapped(" ".join(content.advice), "  ")]
    lines += _wrapped(f"Colours: {content.colours_of}.", "  ")
    return "\n".join(lines).replace("\u00a0", " ") + "\n"


def _cover(content: Content) -> Iterator[str]:
    yield content.title
    yield from _wrapped(", ".join(part for part in (content.date, content.light) if part), "")
    yield from _wrapped(content.values_words, "")
    if content.masses:
        yield from ("", "MASSES, BY AREA")
    for mass in content.masses:
        yield from _wrapped(mass.words, f"  {100.0 * mass.share:3.0f} %  ")
    if content.palette:
        yield from ("", "PALETTE, in the order to lay it out")
    yield from _wrapped(content.palette_words, "  ")
    for squeeze in content.palette:
        yield from _wrapped(f"{squeeze.tube}: {squeeze.size}, for {squeeze.serves}", "  - ")
    if content.unused:
        yield from _wrapped(f"In the box, not needed here: {content.unused}.", "  ")


def _slip(slip: Slip) -> Iterator[str]:
    yield from _wrapped(slip.label.upper(), f"{slip.number}  ")
    yield from _wrapped(f"{slip.words} ({slip.target_numbers})", "   ")
    for line in slip.neighbours:
        yield from _wrapped(line, "   ")
    if slip.out_of_reach:
        yield from _wrapped(slip.out_of_reach, "   ! ")
    for part in slip.parts:
        yield from _wrapped(part.words, f"   {part.figure:>4}  ")
    if slip.distance:
        yield f"         {slip.total}"
        told = f"{slip.distance} ({slip.differences}). Mix beside photo: {slip.difference}."
        told = f"{told} {slip.trade}".rstrip()
        yield from _wrapped(told, "   ")
    for number, step in enumerate(slip.steps, start=1):
        warnings = "".join(f" (! {warning})" for warning in step.warnings)
        yield from _wrapped(f"{step.words}{warnings}", f"   {number}. ")
    for other in slip.alternatives:
        yield from _wrapped(
            f"{other.why}: {other.parts} ({other.distance}). {other.remarks}", "   or "
        )
    for flag in slip.flags:
        yield from _wrapped(flag, "   ! ")
    if slip.history:
        yield f"   Looked at{f' ({slip.earlier})' if slip.earlier else ''}:"
    for each in slip.history:
        told = f"{each.words}; {each.done}" if each.done else each.words
        yield from _wrapped(f"{each.when}: {told}.", "   - ")


def _lesson(lesson: Lesson) -> Iterator[str]:
    yield from _wrapped(lesson.label.upper(), f"{lesson.number}  ")
    yield from _wrapped(lesson.parts, "   ")
    for nudge in (*lesson.nudges, *lesson.instead):
        figures = f" ({nudge.differences})" if nudge.differences else ""
        yield from _wrapped(f"{nudge.words}{figures}", f"   {nudge.direction + ':':13} ")
