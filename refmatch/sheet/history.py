"""A puddle's history on its slip: each dab that was looked at, in a line."""

from __future__ import annotations

from refmatch.painting.model import Painting
from refmatch.painting.record import rounds_of
from refmatch.painting.rounds import Round
from refmatch.say.english import NBSP
from refmatch.say.sheet import day
from refmatch.sheet.content import RoundLine
from refmatch.swatch.words import WITHIN

MOST_ROUNDS = 6
"""So many are printed, the last ones; a puddle worth more is mixed anew."""


def history(painting: Painting, label: str) -> tuple[tuple[RoundLine, ...], str]:
    """Return the last rounds of a target, oldest first, and a word on those before them."""
    rounds = rounds_of(painting, label)
    dates = {look.photo.sha256: look.date for look in painting.looks}
    several = any(each.pile > 1 for each in rounds)
    shown = tuple(_line(each, dates.get(each.look, ""), several) for each in rounds[-MOST_ROUNDS:])
    more = len(rounds) - len(shown)
    return shown, f"{more} earlier {'look' if more == 1 else 'looks'} not shown" if more else ""


def _line(each: Round, date: str, several: bool) -> RoundLine:
    when = [day(date)] if date else []
    when += [f"puddle {each.pile}"] if several else []
    done = each.done.words if each.done else ""
    return RoundLine(
        when=", ".join(when) or "undated",
        target=each.target_lab,
        seen=each.lab,
        words=f"{_words(each)}, ΔE00{NBSP}{each.delta_e_00:.1f}",
        done=f"then {done}" if done else "",
    )


def _words(each: Round) -> str:
    if each.verdict == WITHIN:
        return "as near as its photo can tell"
    return each.words or "a little off in all"
