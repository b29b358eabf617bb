"""What ``refmatch did`` and ``refmatch mix --again`` print for people."""

from __future__ import annotations

from typing import TYPE_CHECKING

from refmatch.painting.record_words import counted, parts_line

if TYPE_CHECKING:  # only its shape is needed here
    from refmatch.verbs.record import Recorded


def recorded(found: Recorded) -> str:
    """Return what was recorded, what the puddle now holds, and what to do next."""
    lines = [f"{found.target}: {found.done.words}."]
    if found.replaced is not None and found.replaced != found.done:
        lines.append(f"    In place of what was said before: {found.replaced.words}.")
    whole = sum(share for _, share in found.now.parts)
    holds = "The new puddle is to hold" if found.done.anew else "The puddle now holds"
    lines.append(
        f"    {holds} {parts_line(found.now.parts)}: {counted(whole)} by {found.painting.parts_by}."
    )
    if found.predicted is not None:
        left = found.predicted.predicted_delta_e_00
        lines.append(f"    By what was reckoned it is now {left:.1f} dE00 from its target.")
    return "\n".join([*lines, f"    {found.next}"])
