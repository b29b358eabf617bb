"""What ``refmatch nudge`` prints for people."""

from __future__ import annotations

from refmatch.cli.say import colour
from refmatch.recipe.nudge import Lesson, Nudge


def lesson(found: Lesson) -> str:
    """Return the puddle, a line for each way, and what white and black alone do."""
    lines = [colour(found.lab), ""]
    lines += [_line(nudge) for nudge in found.nudges]
    lines += ["", "White or black alone:"]
    lines += [_line(nudge) for nudge in found.instead]
    return "\n".join(lines)


def _line(nudge: Nudge) -> str:
    return f"{nudge.direction:10}{nudge.words}"
