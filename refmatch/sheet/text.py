"""The mixing sheet as plain text, for a terminal, a printer of words, or a screen reader."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from refmatch.say.plan import OF_THE_TRADE, OWNED, PRICES, TO_BUY, slips
from refmatch.say.sentence import capital, listed
from refmatch.sheet.content import Content, LayersShown, Lesson, Slip
from refmatch.sheet.plan_content import PlanShown, StringShown, WorkLine

# Words in lines of a terminal's width.

WIDTH = 80


def wrapped(text: str, lead: str) -> list[str]:
    """Return lines that start with ``lead`` once and then hang below its end."""
    wrapper = textwrap.TextWrapper(
        WIDTH, initial_indent=lead, subsequent_indent=" " * len(lead), break_on_hyphens=False
    )
    return wrapper.wrap(text.strip())


# The plan of a painting as plain text.


def plan_lines(plan: PlanShown) -> list[str]:
    """Return the key, the palette, the order of work, and strings."""
    lines = ["", "PLAN: THE KEY, light to dark", *wrapped(f"{plan.key.words} {plan.key.aim}", "  ")]
    for line in plan.key.lines:
        lines += wrapped(f"{line.label}: {line.values}", f"  {line.number:>3}  ")
        for caution in line.cautions:
            lines += wrapped(caution, "       ! ")
    lines += _palette(plan)
    lines += ["", "PLAN: THE ORDER OF WORK", *wrapped(plan.work_words, "  ")]
    layer = ""
    for puddle in plan.work:
        if puddle.layer != layer:
            lines += ["", *wrapped(puddle.layer, "  ")]
        layer = puddle.layer
        lines += _puddle(puddle)
    for glaze in plan.glazes:
        lines += wrapped(glaze, "  ")
    for string in plan.strings:
        lines += ["", *_string(string)]
    return lines


def _palette(plan: PlanShown) -> Iterator[str]:
    yield from ("", "PLAN: THE PALETTE", *wrapped(plan.palette_words, "  "))
    for tube in plan.tubes:
        facts = "; ".join(part for part in (tube.amount, tube.without) if part)
        yield from wrapped(f"{tube.tube}: {facts}" if facts else tube.tube, "  - ")
    yield from wrapped(plan.amounts_words, "  ")
    yield from _list(TO_BUY, plan.to_buy)
    yield from _list(OWNED, plan.owned)
    yield from _list(PRICES, plan.prices)
    yield from _list(OF_THE_TRADE, plan.known)


def _list(title: str, items: Sequence[str]) -> Iterator[str]:
    if items:
        yield from wrapped(title, "  ")
    for item in items:
        yield from wrapped(item, "  - ")


def _puddle(puddle: WorkLine) -> Iterator[str]:
    lead = f"  {puddle.order:>3}. " if puddle.drawn_from is None else f"      {puddle.order:>3}. "
    yield from wrapped(puddle.words, lead)
    named = "" if puddle.number is None else f"for slip {puddle.number}"
    facts = (named, puddle.amount, puddle.skins)
    yield from wrapped(", ".join(fact for fact in facts if fact), " " * len(lead))


def _string(string: StringShown) -> Iterator[str]:
    yield from wrapped(f"PLAN: A STRING of “{string.label}”, {slips(string.numbers)}", "")
    yield from wrapped(string.words, "  ")
    for step in string.steps:
        yield from wrapped(f"{step.words} ({step.looks})", f"  {step.order:>3}. ")


def write(content: Content) -> str:
    """Return the sheet as text, lines of at most 80 characters where words allow."""
    lines = [*_cover(content), *_easel(content)]
    if content.plan is not None:
        lines += plan_lines(content.plan)
    if content.layers is not None:
        lines += _layers(content.layers)
    for slip in content.slips:
        lines += ["", *_slip(slip)]
    if content.lessons:
        lines += ["", "NUDGES", *wrapped(content.lessons_words, "  ")]
    for lesson in content.lessons:
        lines += ["", *_lesson(lesson)]
    lines += ["", "CARE", *wrapped(" ".join(content.cautions), "  ")]
    for flag in content.flags:
        lines += wrapped(flag, "  ! ")
    lines += ["", "LIGHT", *wrapped(" ".join(content.advice), "  ")]
    lines += wrapped(f"Colours: {content.colours_of}.", "  ")
    return "\n".join(lines).replace("\u00a0", " ") + "\n"


def _layers(shown: LayersShown) -> Iterator[str]:
    if shown.lines:
        yield from ("", "LAYERS, from the canvas up", *wrapped(shown.words, "  "))
    for line in shown.lines:
        yield from wrapped(line.wait, "  ")
        yield from ("", *wrapped(f"{line.name}. {line.words}", "  "))
        for caution in line.cautions:
            yield from wrapped(caution, "    ! ")
        for puddle in line.puddles:
            yield from wrapped(f"{puddle.label}, {puddle.words}", f"  {puddle.number:>3}  ")
    yield from wrapped(shown.whole, "  ")
    for care in shown.cares:
        yield from wrapped(care, "  ")
    if shown.ground is not None:
        yield from ("", "ON THE GROUND", *wrapped(shown.ground.words, "  "))


def _cover(content: Content) -> Iterator[str]:
    yield content.title
    yield from wrapped(", ".join(part for part in (content.date, content.light) if part), "")
    yield from wrapped(content.values_words, "")
    for other in content.others:
        numbers = listed([str(mark.number) for mark in other.marks]) or "no hole"
        yield from wrapped(f"Photo “{other.name}”, {other.light}: {numbers}.", "")
    if content.masses:
        yield from ("", "MASSES, BY AREA")
    for mass in content.masses:
        yield from wrapped(mass.words, f"  {mass.percent:>5}  ")
    if content.palette:
        yield from ("", "PALETTE, in the order to lay it out")
    yield from wrapped(content.palette_words, "  ")
    for squeeze in content.palette:
        yield from wrapped(f"{squeeze.tube}: {squeeze.size}, for {squeeze.serves}", "  - ")
    if content.unused:
        yield from wrapped(f"In the box, not needed here: {content.unused}.", "  ")


def _easel(content: Content) -> Iterator[str]:
    if content.easel:
        yield from ("", "AT THE EASEL, in the order of work")
    for line in content.easel:
        numbers = f"({', '.join(map(str, line.numbers))})" if line.numbers else ""
        facts = ", ".join(fact for fact in (line.value, line.remark) if fact)
        named = " ".join(part for part in (f"{line.label},", facts, numbers) if part)
        parts = " + ".join(f"{figure} {words}" for figure, words in line.parts)
        yield from wrapped(f"{named}: {parts}" if parts else named, f"  {line.order:>3}. ")


def _slip(slip: Slip) -> Iterator[str]:
    yield from wrapped(slip.label.upper(), f"{slip.number}  ")
    yield from wrapped(slip.words, "   ")
    for line in (slip.one_puddle, slip.layer, *slip.neighbours):
        yield from wrapped(line, "   ")
    if slip.out_of_reach:
        yield from wrapped(slip.out_of_reach, "   ! ")
    for part in slip.parts:
        yield from wrapped(part.words, f"   {part.figure:>4}  ")
    if slip.distance:
        yield f"         {slip.total}"
        yield from wrapped(slip.straight, "         ")
        words = f"As reckoned, mix beside photo: {slip.difference}. {slip.trade}"
        yield from wrapped(f"{capital(slip.distance)}. {words}", "   ")
    for number, step in enumerate(slip.steps, start=1):
        warnings = "".join(f" (! {warning})" for warning in step.warnings)
        yield from wrapped(f"{step.words}{warnings}", f"   {number}. ")
    for other in slip.alternatives:
        yield from wrapped(f"{other.why}: {other.words}", "   or ")
    for flag in slip.flags:
        yield from wrapped(flag, "   ! ")
    if slip.history:
        yield f"   Looked at{f' ({slip.earlier})' if slip.earlier else ''}:"
    for look in slip.history:
        words = f"{look.words}; {look.done}" if look.done else look.words
        yield from wrapped(f"{look.when}: {words}.", "   - ")
    yield from wrapped(slip.figures, "   ")


def _lesson(lesson: Lesson) -> Iterator[str]:
    yield from wrapped(lesson.label.upper(), f"{lesson.number}  ")
    yield from wrapped(lesson.parts, "   ")
    for nudge in (*lesson.nudges, *lesson.instead):
        figures = f" ({nudge.differences})" if nudge.differences else ""
        yield from wrapped(f"{nudge.words}{figures}", f"   {nudge.direction + ':':13} ")
    yield from wrapped(lesson.to_grey_words, "   to grey:      ")
    for number, step in enumerate(lesson.to_grey, start=1):
        yield from wrapped(step.words, f"   {number:>11}.  ")
