"""What ``refmatch check`` prints for people: the verdict, then what to do."""

from __future__ import annotations

import shlex
from pathlib import Path

from refmatch.cli.say import colour, laid
from refmatch.recipe.doubt import uncertainty
from refmatch.swatch.checked import ALONE, Checked, Checks


def checks(found: Checks, painting: Path | None) -> str:
    """Return each pile judged, and how to say what was done."""
    lines = [f"Looked at by: {found.way}", ""]
    for each in found.found:
        lines += [*_checked(each), ""]
    if found.learnt:
        lines += ["Your box has learnt:", *(f"  {words}" for words in found.learnt), ""]
    if painting is not None and any(each.advice.corrections for each in found.found):
        lines.append(
            "When it is done, say so: refmatch did 1 --painting "
            f"{shlex.quote(str(painting))} --target-label LABEL"
        )
    return "\n".join(lines).rstrip()


def _checked(each: Checked) -> list[str]:
    job = each.job
    lines = [] if job.label == ALONE else [f"{job.label}, puddle {job.pile}, look {job.number}"]
    p50, p90 = uncertainty(each.lab, each.covariance)
    lines += [
        f"target    {colour(job.target_lab)}",
        f"puddle    {colour(each.lab)}",
        f"          {each.advice.delta_e_00:.1f} ΔE00 off; the puddle is known to {p50:.1f}, nine "
        f"times in ten to {p90:.1f}",
        each.verdict.sentence,
    ]
    if not each.advice.corrections:
        lines.append(each.advice.words)
    for number, correction in enumerate(each.advice.corrections, start=1):
        lines.append(f"  {number}. {correction.words}")
        off, by_hand = correction.predicted_delta_e_00, correction.expected_delta_e_00
        lines.append(f"     then {off:.1f} ΔE00 off, or {by_hand:.1f} with the hand and all doubt")
    if each.fresh is not None:
        lines.append(f"  anew: {laid(each.fresh.laid_out)}")
    return lines
