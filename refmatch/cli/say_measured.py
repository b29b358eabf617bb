"""What is printed of measured tubes, and of dabs to paint next."""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from refmatch.cli import say
from refmatch.cli.json import print_json
from refmatch.flag import Flag
from refmatch.paint.box import Box, Tube
from refmatch.recipe.advice import Dab


def told(box: Box, flags: Sequence[Flag], out: Path, how: str) -> None:
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


def told_in_json(box: Box, flags: Sequence[Flag], out: Path, more: dict[str, Any]) -> None:
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


def dabs(found: Sequence[Dab]) -> str:
    """Return the dabs to paint next, and what each leaves in doubt."""
    if not found:
        return "No dab would tell much more: these mixes are known about as well as can be."
    lines = ["Paint and measure, in this order (doubt of the mixes, one standard error):", ""]
    for number, dab in enumerate(found, start=1):
        parts = " + ".join(f"{parts:g} {tube}" for tube, parts in dab.portions)
        lines.append(f"{number:>3}  {parts:48} ΔE00 {dab.before:.1f} to {dab.after:.1f}")
    return "\n".join(lines)
