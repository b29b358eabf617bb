"""Demonstrations as they are printed at the prompt: a line for each step."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from refmatch.cli.remedies import REMEDIES
from refmatch.plan.demonstrations import Demonstrated, Demonstration
from refmatch.plan.strips import Strip
from refmatch.say.demonstrations import (
    effect_words,
    mix_words,
    see_words,
    step_value_words,
    strip_words,
    title_words,
)
from refmatch.say.sentence import NBSP, sentence_of
from refmatch.sheet.text import wrapped


def demonstrations(of: Demonstrated, out: Path | None) -> str:
    """Return every demonstration with its strips, and what is not shown and why."""
    lines: list[str] = []
    for shown in of.demonstrations:
        lines += [*_demonstration(shown, of), ""]
    for flag in of.flags:
        lines += wrapped(sentence_of(flag, REMEDIES), "! ")
    if out is not None:
        lines.append(f"Written to {out}.")
    return "\n".join(lines).replace(NBSP, " ").rstrip()


def _demonstration(shown: Demonstration, of: Demonstrated) -> Iterator[str]:
    title = title_words(shown, of.portions)
    yield from wrapped(title if shown.strips else f"Not shown: {title}", "")
    yield from wrapped(see_words(shown), "  ")
    for strip in shown.strips:
        yield from ("", *_strip(strip))
    for flag in shown.flags:
        yield from wrapped(sentence_of(flag, REMEDIES), "  ! ")


def _strip(strip: Strip) -> Iterator[str]:
    yield from wrapped(strip_words(strip), "  ")
    for step in strip.steps:
        facts = ", ".join(fact for fact in (step_value_words(step), effect_words(step)) if fact)
        colour = ", ".join(f"{value:.0f}" for value in step.lab).replace("-0", "0")
        yield f"    {mix_words(strip, step):44} {facts:24} L*a*b* {colour}"
