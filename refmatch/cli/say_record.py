"""What ``refmatch did`` and ``refmatch mix --again`` print for people."""

from __future__ import annotations

import shlex
from pathlib import Path
from typing import TYPE_CHECKING

from refmatch.cli.say import colour
from refmatch.painting.record_words import counted, figure, parts_line
from refmatch.recipe.amounts import millilitres
from refmatch.say.plan import squeeze_words
from refmatch.swatch.words import difference_words

if TYPE_CHECKING:  # only its shape is needed here
    from refmatch.painting.again import Again, TubeAgain
    from refmatch.painting.done import Recorded

FROM = {
    "photo and recipe": "By what was seen of it",
    "tubes as seen": "By its tubes as they were seen",
    "box": "By the box alone, since no photo tells of it",
}
"""On what the colour of a puddle to be mixed again rests."""


def recorded(folder: Path, found: Recorded) -> str:
    """Return what was recorded, what the puddle now holds, and what to do next."""
    lines = [f"{found.target}: {found.done.words}."]
    if found.replaced is not None and found.replaced != found.done:
        lines.append(f"    In place of what was said before: {found.replaced.words}.")
    whole = sum(share for _, share in found.now.parts)
    holds = "The new puddle holds" if found.done.anew else "The puddle now holds"
    lines.append(
        f"    {holds} {parts_line(found.now.parts)}: {counted(whole)} by {found.painting.parts_by}."
    )
    if found.belief is not None:
        lines.append(
            f"    By what was seen and added it is now {found.delta_e_00:.1f} dE00 from its target."
        )
    return "\n".join([*lines, f"    {next_step(folder, found)}"])


def next_step(folder: Path, found: Recorded) -> str:
    """Return what to do after something was done to a puddle: paint a dab, and look."""
    whose = f"--painting {shlex.quote(str(folder))} --target-label {shlex.quote(found.target)}"
    check = f"refmatch check PHOTO {whose}"
    if found.done.anew:
        return f"Paint a dab of the new puddle, and look at it: {check}"
    return f"Paint a new dab, photograph it beside the grey card, and look again: {check}"


def again(found: Again) -> str:
    """Return a puddle to be mixed again: how much of what, where it leads, and in what order."""
    by_volume = found.box.parts == "volume"
    much = f"{found.amount_ml:g} ml" if by_volume else "by its shares"
    lines = [f"{found.target.label}, {much}   {colour(found.target.lab)}", found.ended.words, ""]
    width = max(len(each.tube) for each in found.tubes)
    lines += [f"    {_tube(each, width)}" for each in found.tubes]
    off = difference_words(found.lab, found.target.lab)
    words = (
        f"{FROM[found.lab_from]}: {colour(found.lab)}; {found.delta_e_00:.1f} dE00 from the target"
    )
    lines += ["", f"    {words}{f', {off}' if off else ''}."]
    if found.seen is not None:
        then = difference_words(found.box_lab, found.seen.lab)
        words = f"Seen on {found.seen.date}: {colour(found.seen.lab)}; the box alone would expect"
        far = f"{found.seen.delta_e_00_from_now:.1f} dE00 from that"
        lines.append(f"    {words} it {far}{f', {then}' if then else ''}.")
    lines += ["", "    Steps:"]
    lines += [f"      {i}. {step.text}" for i, step in enumerate(found.steps, start=1)]
    return "\n".join(lines)


def _tube(each: TubeAgain, width: int) -> str:
    share, unit = f"{100.0 * each.share:.1f} %", "part " if each.parts <= 1.0 else "parts"
    much = "" if each.volume_ml is None else f"{millilitres(each.volume_ml):>9}  "
    squeeze = "" if each.volume_ml is None else f"  {squeeze_words(each.volume_ml)}"
    return f"{much}{each.tube:{width}}  {figure(each.parts):>5} {unit} {share:>7}{squeeze}"
