"""The plan of a painting as plain text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from refmatch.sheet.plan_content import OF_THE_TRADE, PRICES, PlanShown, StringShown, WorkLine
from refmatch.sheet.plan_palette import slips
from refmatch.sheet.text_lines import wrapped


def lines(plan: PlanShown) -> list[str]:
    """Return the key, the palette, the order of work, and strings."""
    told = ["", "PLAN: THE KEY, light to dark", *wrapped(f"{plan.key.words} {plan.key.aim}", "  ")]
    for line in plan.key.lines:
        told += wrapped(f"{line.label}: {line.values}", f"  {line.number:>3}  ")
        for caution in line.cautions:
            told += wrapped(caution, "       ! ")
    told += _palette(plan)
    told += ["", "PLAN: THE ORDER OF WORK", *wrapped(plan.work_words, "  ")]
    for puddle in plan.work:
        told += _puddle(puddle)
    for glaze in plan.glazes:
        told += wrapped(glaze, "  ")
    for string in plan.strings:
        told += ["", *_string(string)]
    return told


def _palette(plan: PlanShown) -> Iterator[str]:
    yield from ("", "PLAN: THE PALETTE", *wrapped(plan.palette_words, "  "))
    for tube in plan.tubes:
        facts = "; ".join(part for part in (tube.amount, tube.without) if part)
        yield from wrapped(f"{tube.tube}: {facts}" if facts else tube.tube, "  - ")
    yield from wrapped(plan.amounts_words, "  ")
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
    facts = (named, puddle.distance, puddle.amount, puddle.skins)
    yield from wrapped(", ".join(fact for fact in facts if fact), " " * len(lead))


def _string(string: StringShown) -> Iterator[str]:
    yield from wrapped(f"PLAN: A STRING of “{string.label}”, {slips(string.numbers)}", "")
    yield from wrapped(string.words, "  ")
    for step in string.steps:
        yield from wrapped(f"{step.words} ({step.told})", f"  {step.order:>3}. ")
