"""Mixing without a photo: recipes for colours, and the colour of a recipe."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from refmatch.colorimetry.lab import reflectance_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import TargetError, UnknownTube, UsageError
from refmatch.flag import Flag
from refmatch.paint.box import Box, Tube, built_in_tube
from refmatch.paint.box_file import built_in_box, read_box
from refmatch.paint.kubelka_munk import FINISHES, Surface
from refmatch.paint.library import mixtures, pigments
from refmatch.recipe.doubt import GENERIC as GENERIC
from refmatch.recipe.doubt import covariance
from refmatch.recipe.doubt import generic_flags as generic_flags
from refmatch.recipe.mixture import Palette
from refmatch.recipe.model import Answer
from refmatch.recipe.solve import Options, lay_out, solve
from refmatch.recipe.together import side_by_side
from refmatch.target import Target, check_lab, places_px
from refmatch.verbs.progress import Progress, silent


@dataclass(frozen=True, eq=False)
class Mixes:
    """Recipes for some targets, and the box they come from."""

    box: Box
    answers: tuple[Answer, ...]
    flags: tuple[Flag, ...]


@dataclass(frozen=True, eq=False)
class Prediction:
    """The colour of stated parts: reflectance (31,), Lab (3,) and its covariance (3, 3).

    The covariance is what each tube's error of strength makes of the colour, to first order,
    and where a curve is generic what that leaves open besides.
    """

    reflectance: Array
    lab: Array
    covariance: Array
    finish: str
    specular: str
    surface: Surface
    parts: str
    flags: tuple[Flag, ...]


def open_box(path: Path | None) -> Box:
    """Return the painter's box, or the one that comes with refmatch."""
    return built_in_box() if path is None else read_box(path)


def parse_lab(text: str) -> Array:
    """Read "L,a,b".

    Raises:
        TargetError: not three numbers, or no surface can look so.
    """
    try:
        numbers = np.array([float(part) for part in text.split(",")])
    except ValueError:
        numbers = np.empty(0)
    if numbers.shape != (3,):
        raise TargetError(f"'{text}' is not a colour; write L*,a*,b* such as \"62,14,38\".")
    return check_lab(numbers, "The target")


def targets_of(colours: Sequence[str]) -> tuple[Target, ...]:
    """Read colours written "L,a,b" as targets, numbered from 1."""
    return tuple(Target(str(i), parse_lab(text)) for i, text in enumerate(colours, start=1))


def mix(
    targets: Sequence[Target],
    box: Box,
    options: Options | None = None,
    progress: Progress = silent,
) -> Mixes:
    """Return recipes for every target from one box.

    Raises:
        BoxError: the box is empty or has no white. UnknownTube: a habit names none of its tubes.
    """
    bench = lay_out(box, options)
    answers = []
    for done, target in enumerate(targets):
        progress(done, len(targets), f"mixing {target.label}")
        answers.append(solve(bench, target))
    progress(len(targets), len(targets), "mixed")
    together = side_by_side(answers, bench.entries.box, places_px(targets))
    return Mixes(box, together, generic_flags(box.tubes))


def predict(
    portions: Sequence[str], box: Box | None, finish: str = "gloss", specular: str = "excluded"
) -> Prediction:
    """Return the colour of parts such as ``["ultramarine=3", "PW6=1"]``.

    Without a box, any built-in pigment may stand for a tube.

    Raises:
        UsageError: a portion is not TUBE=PARTS, or no part is above 0.
        UnknownTube: no such tube; the sentence lists the near names.
    """
    read = portions_of(portions, box)
    tubes, parts = [tube for tube, _ in read], np.array([amount for _, amount in read])
    surface = skin(box.surface if box else Surface(), finish, specular)
    palette = Palette.of(tubes, surface)
    seen = palette.reflectance(parts)
    lab = reflectance_to_lab(seen)
    return Prediction(
        reflectance=seen,
        lab=lab,
        covariance=covariance(palette, tubes, parts, lab),
        finish=finish,
        specular=specular,
        surface=surface,
        parts=box.parts if box else "volume",
        flags=generic_flags(tubes),
    )


def portions_of(portions: Sequence[str], box: Box | None) -> list[tuple[Tube, float]]:
    """Read parts of tubes; without a box, any built-in pigment may stand for a tube.

    Raises:
        UsageError, UnknownTube: as in `predict`.
    """
    read = [_portion(text, box) for text in portions]
    if not sum(amount for _, amount in read) > 0.0:
        raise UsageError('No part is above 0; give at least one, such as "PB29=1".')
    return read


def skin(surface: Surface, finish: str, specular: str) -> Surface:
    """Return the surface as it is looked at: finish and specular decide what skin is seen.

    Raises:
        UsageError: an unknown finish or specular.
    """
    if finish not in FINISHES:
        raise UsageError(f"There is no finish '{finish}'; it is gloss, satin or matt.")
    if specular not in ("included", "excluded"):
        raise UsageError(f"Specular is included or excluded, not '{specular}'.")
    return replace(surface, f=1.0 if specular == "included" else FINISHES[finish])


def _portion(text: str, box: Box | None) -> tuple[Tube, float]:
    name, equals, amount = text.rpartition("=")
    try:
        parts = float(amount)
    except ValueError:
        parts = float("nan")
    if not equals or not name.strip() or not 0.0 <= parts < float("inf"):
        raise UsageError(f"'{text}' is not TUBE=PARTS; write it like \"PB29=3\".")
    return (box.tube(name) if box else _any_tube(name)), parts


def _any_tube(name: str) -> Tube:
    """Return a tube of the box that comes with refmatch, else of any built-in pigment."""
    box = built_in_box()
    try:
        return box.tube(name)
    except UnknownTube:
        pass
    try:
        return built_in_tube(name)
    except UnknownTube:
        known = [tube.name for tube in box.tubes] + [*pigments(), *mixtures()]
        raise UnknownTube(name, known) from None
