"""What ``refmatch nudge`` prints for people."""

from __future__ import annotations

from refmatch.cli.say import colour
from refmatch.recipe.nudge import Lesson, Nudge
from refmatch.say.recipe import alone_words, nudge_words


def lesson(found: Lesson) -> str:
    """Return the puddle, a line for each way, and what white and black alone do."""
    lines = [colour(found.lab), ""]
    lines += [_line(nudge, nudge_words(found, nudge)) for nudge in found.nudges]
    lines += ["", "White or black alone:"]
    lines += [_line(nudge, alone_words(found, nudge)) for nudge in found.instead]
    return "\n".join(lines)


def _line(nudge: Nudge, words: str) -> str:
    return f"{nudge.direction:10}{words}"
