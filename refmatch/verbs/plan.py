"""Planning a whole painting: its key, its palette, its puddles, and how much of each."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Protocol

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import UsageError
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.paint.box_file import box_from_toml
from refmatch.painting.store import OpenPainting, is_painting, open_folder
from refmatch.recipe.amounts import Canvas
from refmatch.recipe.palette.known import all_to_buy
from refmatch.recipe.solve import Options
from refmatch.recipe.whole_plan import WholePlan, Wish, whole_plan
from refmatch.target import Target
from refmatch.verbs.mix import generic_flags, open_box
from refmatch.verbs.photo import PhotoAsked
from refmatch.verbs.progress import Progress, silent
from refmatch.verbs.wanted import wanted

LEAST_SHARE = 0.005
"""What a hole counts for that no mass is nearest to: a spot of the picture."""

LONGEST_SIDE_CM = 1000.0

SHARES_GUESSED = Flag(
    "shares_guessed",
    "How much of the picture a hole stands for is not known: each mass counts for the hole "
    "nearest to it in colour.",
)


class HasShare(Protocol):
    """A mass of the picture, found just now or saved: its Lab, (3,), and its share."""

    @property
    def lab(self) -> Array:
        """The mass's colour."""

    @property
    def share(self) -> float:
        """The mass's part of the picture, 0 to 1."""


@dataclass(frozen=True)
class PlanAsked:
    """What is to be planned: the photo or folder, its colours, and from which tubes.

    ``tubes`` is how many the palette may have, None for the smallest that does; it holds the
    tubes named in ``keep``, and none of those in ``without``. With
    ``buy`` it is chosen from all built-in pigments. ``canvas`` is written "40x30", in
    centimetres; without ``keyed`` the photo's values are left as they are.
    """

    photo: PhotoAsked
    holes: tuple[str, ...] = ()
    families: int | None = None
    box: Path | None = None
    tubes: int | None = None
    keep: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    buy: bool = False
    canvas: str | None = None
    keyed: bool = True


@dataclass(frozen=True, eq=False)
class Planned:
    """The plan, the box that the painter owns, and all cautions."""

    plan: WholePlan
    owned: Box
    flags: tuple[Flag, ...]


def plan(asked: PlanAsked, progress: Progress = silent) -> Planned:
    """Plan a painting.

    The folder of a painting with nothing else asked brings its targets, its box and its
    habits.

    Raises:
        RefmatchError: whatever is wrong with photo, folder, holes, light, box or canvas.
    """
    canvas = parse_canvas(asked.canvas) if asked.canvas else None
    progress(0, 3, "reading the photo")
    opened = open_folder(asked.photo.path) if is_painting(asked.photo.path) else None
    targets, masses, cautions = _sought(asked, opened)
    owned = _owned(asked, opened)
    options = (opened.painting.options if opened else None) or Options()
    shares, guessed = shares_of(targets, masses)
    progress(1, 3, "choosing a palette")
    found = whole_plan(
        Wish(
            targets=targets,
            shares=shares,
            box=(all_to_buy(owned) if asked.buy else owned).without(asked.without),
            count=asked.tubes,
            keep=asked.keep,
            keyed=asked.keyed,
            canvas=canvas,
            options=_without_names(options) if asked.buy else options,
        )
    )
    progress(3, 3, "planned")
    flags = [*cautions, *([SHARES_GUESSED] if guessed else []), *found.flags]
    return Planned(found, owned, (*flags, *generic_flags(found.box.tubes)))


def parse_canvas(text: str) -> Canvas:
    """Read a canvas written "40x30", in centimetres.

    Raises:
        UsageError: not two numbers, or no canvas is so large.
    """
    sides = re.fullmatch(
        r"\s*(\d+(?:[.,]\d+)?)\s*[x×]\s*(\d+(?:[.,]\d+)?)\s*(?:cm)?\s*", text.lower()
    )
    if sides is None:
        raise UsageError(f"'{text}' is not a canvas; write its sides in centimetres, like 40x30.")
    width_cm, height_cm = (float(side.replace(",", ".")) for side in sides.groups())
    if not 0.0 < min(width_cm, height_cm) <= max(width_cm, height_cm) <= LONGEST_SIDE_CM:
        raise UsageError(
            f"A canvas of {text.strip()} cm is not offered; its sides may be up to "
            f"{LONGEST_SIDE_CM:.0f} cm."
        )
    return Canvas(width_cm, height_cm)


def shares_of(targets: Sequence[Target], masses: Sequence[HasShare]) -> tuple[Array, bool]:
    """Return each target's share of the picture, (targets,), and whether any is guessed.

    Where all targets stand for masses, their shares are known. Else each mass counts for
    the target nearest to it in colour.
    """
    known = [target.share for target in targets]
    if all(share is not None for share in known):
        return np.array(known, dtype=float), False
    labs, shares = np.array([target.lab for target in targets]), np.zeros(len(targets))
    for mass in masses:
        shares[int(np.argmin(delta_e_00(labs, mass.lab)))] += mass.share
    return np.maximum(shares, LEAST_SHARE), True


def _sought(
    asked: PlanAsked, opened: OpenPainting | None
) -> tuple[tuple[Target, ...], Sequence[HasShare], tuple[Flag, ...]]:
    """Return the targets, the masses and the cautions: a folder's own, or what is asked for."""
    as_it_is = asked.photo == PhotoAsked(asked.photo.path) and asked.families is None
    if opened and as_it_is and not asked.holes:
        kept = opened.painting
        return kept.targets, kept.families, (*kept.flags, *kept.balance.flags)
    found = wanted(asked.photo, asked.holes, asked.families)
    return found.targets, found.families.items, found.seen.flags


def _owned(asked: PlanAsked, opened: OpenPainting | None) -> Box:
    if asked.box is None and opened is not None:
        return box_from_toml(opened.painting.box, "the painting's box")
    return open_box(asked.box)


def _without_names(options: Options) -> Options:
    """Return the options without what names tubes: those of the box are not to be bought."""
    return replace(options, habits=replace(options.habits, without=(), insist=()))
