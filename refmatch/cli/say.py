"""What a command prints for people: short lines, figures aligned."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

import numpy as np

from refmatch.cli.remedies import REMEDIES
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.words import describe
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.paint.library import ConvenienceMixture, Pigment, short_name
from refmatch.recipe.mixture import predict
from refmatch.recipe.model import Answer, Laid, Recipe
from refmatch.say.light import light_words
from refmatch.say.sentence import sentence_of

if TYPE_CHECKING:  # photos are slow to load, and mixing needs none
    from pathlib import Path

    from refmatch.painting.model import Painting
    from refmatch.photo.families import Families
    from refmatch.photo.light import Balance
    from refmatch.photo.mask import Sample
    from refmatch.photo.values import ValueStudy

OPACITY = {"O": "opaque", "SO": "semi-opaque", "ST": "semi-transparent", "T": "transparent"}


def numbers(lab: Array) -> str:
    """Return Lab for reading: "L* 62.0  a* 14.0  b* 38.0"."""
    lightness, a, b = (float(value) for value in np.round(lab, 1) + 0.0)
    return f"L* {lightness:.1f}  a* {a:.1f}  b* {b:.1f}"


def colour(lab: Array) -> str:
    """Return a colour in numbers and words."""
    return f"{numbers(lab)}   {describe(lab)}"


def cautions(flags: Iterable[Flag]) -> None:
    """Print cautions on standard error, each once."""
    for text in dict.fromkeys(sentence_of(flag, REMEDIES) for flag in flags):
        print(f"! {text}", file=sys.stderr)


def answer(found: Answer) -> str:
    """Return a target and its recipes."""
    lines = [f"{found.label}   {colour(found.target_lab)}"]
    if found.reach:
        lines.append(f"    {found.reach}")
    if found.recipes and found.recipes[0].trade:
        lines.append(f"    First choice: {found.recipes[0].trade}")
    for recipe in found.recipes:
        lines.append(f"    {recipe.why + ':':20}{laid(recipe.laid_out)}")
        lines.append(f"    {'':20}{_distance(recipe)}")
    if found.recipes:
        lines.append("    Steps of the first:")
        steps = found.recipes[0].steps
        lines += [f"      {i}. {step.text}" for i, step in enumerate(steps, start=1)]
    return "\n".join(lines) + "\n"


def light(balance: Balance) -> str:
    """Return what was done about the light, and how sure a guess is."""
    if balance.confidence is None:
        return f"Light: {light_words(balance)}"
    return f"Light: {light_words(balance)}; guessed, confidence {100.0 * balance.confidence:.0f} %"


def samples(found: Sequence[Sample], compared: Sequence[str], balance: Balance) -> str:
    """Return the colours in the holes, and what sets neighbours apart."""
    lines = [light(balance), ""]
    if not found:
        lines.append("Name a place to read its colour, such as --hole 50%,50%.")
    for each in found:
        lines.append(f"{each.label:>4}  {colour(each.lab)}")
        lines += [f"      ! {sentence_of(flag)}" for flag in each.flags]
    return "\n".join([*lines, "", *compared]).rstrip()


def families(found: Families, study: ValueStudy, balance: Balance) -> str:
    """Return the masses, largest first, and the values."""
    lines = [light(balance), "", "Masses: share, colour, and where to punch a hole"]
    for each in found.items:
        place = f"at {each.x_px:.0f},{each.y_px:.0f},{each.diameter_px:.0f}"
        lines.append(f"{100 * each.share:4.0f} %  {each.label:28} {numbers(each.lab)}  {place}")
    lines += ["", "Values: share, Munsell value"]
    for value, share in zip(study.values, study.shares, strict=True):
        lines.append(f"{100 * share:4.0f} %  {value:.1f}")
    return "\n".join(lines)


def sheet(painting: Painting, out: Path) -> str:
    """Return what the sheet holds, a line each, and where it is."""
    lines = [f"{painting.title}: light {light_words(painting.balance)}", ""]
    for number, (target, found, chosen) in enumerate(
        zip(painting.targets, painting.recipes, painting.chosen, strict=True), start=1
    ):
        name = "" if target.label == str(number) else f"{target.label}: "
        lines.append(f"{number:>3}  {name}{describe(target.lab)}")
        recipe = found.recipes[chosen]
        lines.append(f"     {laid(recipe.laid_out)}  ({recipe.verdict})")
    return "\n".join([*lines, "", f"Written to {out}."])


def box(found: Box) -> str:
    """Return the tubes of a box, each with its masstone and its tint in nine of white."""
    lines = [f"{found.name}: {len(found.tubes)} tubes, parts by {found.parts}", ""]
    width = max(len(tube.name) for tube in found.tubes)
    for tube in found.tubes:
        masstone = describe(predict([tube], [1.0], found.surface))
        tint = describe(predict([tube, found.white], [1.0, 9.0], found.surface))
        lines.append(f"{tube.name:{width}}  {'+'.join(tube.pigments):14} {masstone}")
        if not tube.is_white:
            lines.append(f"{'':{width}}  {'in 9 white':14} {tint}")
    return "\n".join(lines)


def pigment_list(
    pigments: Iterable[Pigment], mixtures: Iterable[ConvenienceMixture], boxes: Sequence[str]
) -> str:
    """Return all that a box can be made of."""
    lines = ["Pigments (name, Colour Index name, opacity, lightfastness, cautions)", ""]
    for pigment in pigments:
        index = "/".join(pigment.index_names)
        care = ", ".join(pigment.cautions)
        lines.append(
            f"  {pigment.key:28} {index:12} {OPACITY[pigment.opacity]:17} "
            f"{pigment.lightfastness:5} {care}".rstrip()
        )
    lines += ["", "Ready mixtures", ""]
    for mixture in mixtures:
        parts = ", ".join(f"{parts:g} {pigment}" for pigment, parts in mixture.portions)
        lines.append(f"  {mixture.key:28} {parts}")
    lines += ["", "Boxes that come with refmatch", "", *(f"  {name}" for name in boxes)]
    lines += ["", "The name you may use is the plain name, or the Colour Index name where it"]
    lines += [f"leads to one pigment, such as {_examples()}."]
    return "\n".join(lines)


def _examples() -> str:
    from refmatch.paint.library import find_pigment

    return ", ".join(short_name(find_pigment(name)) for name in ("PW6", "PB29", "PY74"))


def laid(parts: Sequence[Laid]) -> str:
    """Return what is laid out: "3 ultramarine (1 to 9 white), 2 burnt sienna"."""
    told = (
        f"{each.parts} {each.tube}"
        + (f" (1 to {each.let_down_white_parts} white)" if each.let_down_white_parts else "")
        for each in parts
    )
    return ", ".join(told)


def _distance(recipe: Recipe) -> str:
    told = (
        f"{recipe.verdict}: {recipe.delta_e_00:.1f} ΔE00 off, by hand about "
        f"{recipe.delta_e_00_hand:.1f}"
    )
    return f"{told}; {recipe.words}" if recipe.words else told
