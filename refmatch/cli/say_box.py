"""What ``refmatch box learn`` prints for people, and in JSON."""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from refmatch.cli import say
from refmatch.cli.json import look, not_taken, print_json, update, updates
from refmatch.cli.remedies import REMEDIES
from refmatch.flag import Flag
from refmatch.paint.box import Box, Tube
from refmatch.recipe.advice import Dab
from refmatch.say.sentence import sentence_of

if TYPE_CHECKING:
    from refmatch.dabs.learn import Change
    from refmatch.painting.learning import Learned, TakenBack
    from refmatch.painting.model import NotTaken, Painting


def learnt(
    folder: Path, change: Learned | TakenBack | None, automatic: bool | None, out: Path | None
) -> str:
    """Return what was learnt or taken back, what was left out and why, and what can be done.

    ``automatic`` is whether learning after every look was switched on or off, None where neither;
    ``out`` is where the box as it then is was written.
    """
    from refmatch.painting.learning import Learned

    lines: list[str] = []
    if isinstance(change, Learned):
        lines += _learned(folder, change)
    elif change is not None:
        lines += _taken_back(change)
    if automatic is not None:
        lines.append(
            "From now on the box learns after every check."
            if automatic
            else "The box learns only when 'refmatch box learn' is asked."
        )
    if out is not None:
        lines.append(f"Written to {out}.")
    return "\n".join(lines)


def learnt_in_json(
    folder: Path, painting: Painting, change: Learned | TakenBack | None, out: Path | None
) -> dict[str, Any]:
    """Return the same as JSON, and all that the painting's box ever learnt."""
    from refmatch.painting.learning import Learned, TakenBack

    learned = change if isinstance(change, Learned) else None
    gone = change.update if isinstance(change, TakenBack) else None
    left_out = learned.left_out if learned else ()
    held_back = learned.held_back if learned else ()
    return {
        "painting": folder,
        "automatic": painting.learns,
        "is_updated": bool(learned and learned.update),
        "changes": learned.changes if learned else (),
        "taken_in": [look(painting, photo) for photo in (learned.taken if learned else ())],
        "held_back": not_taken(painting, held_back),
        "left_out": not_taken(painting, [photo for photo in left_out if photo not in held_back]),
        "taken_back": update(painting, gone, stands=False) if gone else None,
        "mixed_anew": list(change.mixed_anew) if change else [],
        "updates": updates(painting),
        "box_file": out,
    }


def _learned(folder: Path, learned: Learned) -> list[str]:
    count = len(learned.taken)
    photos = f"{count} photo{'' if count == 1 else 's'} of dabs"
    if not count:
        lines = ["Nothing is learnt yet: no photo could be taken in."]
    elif learned.update is None:
        lines = [f"Nothing new: the box rests on {photos}, as before.", *_changes(learned.changes)]
    else:
        lines = [f"Learnt from {photos}:", *_changes(learned.changes)]
        if learned.mixed_anew:
            lines.append(f"Mixed anew: {', '.join(learned.mixed_anew)}.")
    held = [photo for photo in learned.left_out if photo in learned.held_back]
    others = [photo for photo in learned.left_out if photo not in held]
    lines += _photos("Held back", held, learned.painting)
    lines += _photos("Left out", others, learned.painting)
    if learned.update is not None:
        lines.append(
            f"To take it back: refmatch box learn --painting {shlex.quote(str(folder))} --undo"
        )
    return lines


def _changes(changes: Sequence[Change]) -> list[str]:
    others = [change for change in changes if change.is_other]
    same = len(changes) - len(others)
    lines = [f"    {change.words}" for change in others]
    if same:
        tubes = f"{same} {'other ' if others else ''}{'tube is' if same == 1 else 'tubes are'}"
        lines.append(f"    {tubes} as assumed, as far as these photos tell")
    return lines


def _photos(title: str, left_out: Sequence[NotTaken], painting: Painting) -> list[str]:
    lines = [f"{title}:"] if left_out else []
    for missed in left_out:
        photo = look(painting, missed.look)
        whose = ", ".join(photo["targets"])
        why = sentence_of(missed.flag, REMEDIES)
        lines.append(f"    the photo of {whose} ({photo['date']}): {why}")
    return lines


def _taken_back(gone: TakenBack) -> list[str]:
    lines = [f"Taken back what was learnt on {gone.update.date}; the box is as it was before."]
    if gone.mixed_anew:
        lines.append(f"The recipes are as they were, too, of {', '.join(gone.mixed_anew)}.")
    return lines


def box_made(box: Box, flags: Sequence[Flag], out: Path, how: str) -> None:
    """Print a box that was "measured" or "photographed" and written, and what to ask next."""
    lines = [
        measured(box),
        "",
        f"Written to {out}.",
        f"Judge your mixes as the dabs were when {how}: wet if wet, dry if dry.",
        "Which dabs to paint next, for a colour you need such as L* 62, a* 14, b* 38:",
        f'  refmatch box advise "62,14,38" --box {shlex.quote(str(out))}',
    ]
    print("\n".join(lines))
    say.cautions(flags)


def box_made_in_json(box: Box, flags: Sequence[Flag], out: Path, more: dict[str, Any]) -> None:
    """Print the same as JSON, with ``more`` in it."""
    print_json({"box_file": out, "box": box, **more}, flags)


def residuals(key: str, misses: Sequence[tuple[str, float]]) -> list[dict[str, Any]]:
    """Return how far each swatch is missed, in ΔE00, called by ``key``."""
    return [{key: label, "residual_delta_e_00": miss} for label, miss in misses]


def measured(box: Box) -> str:
    """Return how well each tube of a box is known."""
    width = max(len(tube.name) for tube in box.tubes)
    lines = [
        f"{box.name}: {len(box.tubes)} tubes, parts by {box.parts}",
        "",
        f"{'tube':{width}}  swatches  missed by  strength known to",
    ]
    lines += [_tube(tube, width) for tube in box.tubes]
    return "\n".join(lines)


def _tube(tube: Tube, width: int) -> str:
    missed = f"{tube.residual_delta_e_00 or 0.0:.1f} ΔE00"
    # a white has no strength of its own to know: it is what others are let down in
    known = "" if tube.is_white else f"{100.0 * tube.doubt:.0f} %"
    return f"{tube.name:{width}}  {tube.swatches:8}  {missed:>9}  {known:>17}".rstrip()


def dabs(advised: Sequence[Dab]) -> str:
    """Return the dabs to paint next, and what each leaves in doubt."""
    if not advised:
        return "No dab would tell much more: these mixes are known about as well as can be."
    lines = ["Paint and measure, in this order (doubt of the mixes, one standard error):", ""]
    for number, dab in enumerate(advised, start=1):
        parts = " + ".join(f"{parts:g} {tube}" for tube, parts in dab.portions)
        lines.append(f"{number:>3}  {parts:48} ΔE00 {dab.before:.1f} to {dab.after:.1f}")
    return "\n".join(lines)
