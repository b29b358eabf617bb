"""A painting and what stands on its sheet."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from refmatch.colorimetry.words import describe
from refmatch.painting.own_box import box_of
from refmatch.recipe.model import Answer
from refmatch.target import Target
from refmatch.wire.envelope import Json, envelope, number, wire_flags, wire_lab
from refmatch.wire.mixing import wire_answer, wire_surface
from refmatch.wire.record import wire_round
from refmatch.wire.seeing import wire_balance

if TYPE_CHECKING:  # photos are slow to load, and mixing needs none
    from refmatch.painting.model import Mass, Painting


def wire_sheet(painting: Painting, sheet: Path, folder: Path | None) -> Json:
    """Return what a sheet is of: the light, the masses, the targets and their recipes."""
    content = {
        "sheet": str(sheet),
        "painting": None if folder is None else str(folder),
        "title": painting.title,
        "balance": wire_balance(painting.balance),
        "families": [wire_mass(mass) for mass in painting.families],
        "targets": [
            {
                **wire_target(target, answer),
                "chosen": chosen,
                "rounds": wire_rounds(painting, target.label),
            }
            for target, answer, chosen in zip(
                painting.targets, painting.recipes, painting.chosen, strict=True
            )
        ],
        "parts_by": painting.parts_by,
        **wire_surface(box_of(painting).surface, painting.finish, "excluded"),
    }
    return envelope(content, (*painting.flags, *painting.balance.flags))


def wire_rounds(painting: Painting, label: str) -> list[Json]:
    """Return what was seen of a target's puddles and done then, oldest first."""
    looks = {look.photo.sha256: look for look in painting.looks}
    return [
        wire_round(each, looks.get(each.look)) for each in painting.rounds if each.target == label
    ]


def wire_mass(mass: Mass) -> Json:
    """Return one mass of the picture."""
    return {
        "label": mass.label,
        "lab": wire_lab(mass.lab),
        "words": describe(mass.lab),
        "share": number(mass.share),
    }


def wire_target(target: Target, answer: Answer) -> Json:
    """Return one target and its recipes."""
    told = wire_answer(answer)
    return {
        "label": target.label,
        "lab": wire_lab(target.lab),
        "words": describe(target.lab),
        "x_px": number(target.x_px, 3),
        "y_px": number(target.y_px, 3),
        "diameter_px": number(target.diameter_px, 3),
        "in_gamut": told["in_gamut"],
        "reach": told["reach"],
        "recipes": told["recipes"],
        "flags": wire_flags(target.flags),
    }
