"""Objects as JSON-ready dicts, in one place, for the command line and the page.

Keys are snake_case with units; unknown is None, never NaN.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from refmatch import __version__
from refmatch.colorimetry.munsell import munsell_value
from refmatch.colorimetry.spectrum import WAVELENGTHS_NM, Array
from refmatch.colorimetry.viewing import viewing
from refmatch.colorimetry.words import describe
from refmatch.flag import Flag
from refmatch.paint.box import Box, Tube
from refmatch.paint.kubelka_munk import Surface
from refmatch.paint.library import ConvenienceMixture, Pigment
from refmatch.recipe.model import Answer, Recipe, Step
from refmatch.target import Target

if TYPE_CHECKING:  # photos are slow to load, and mixing needs none
    from refmatch.painting.model import Mass, Painting
    from refmatch.photo.families import Family
    from refmatch.photo.light import Balance
    from refmatch.photo.mask import Sample
    from refmatch.photo.photo import Photo
    from refmatch.photo.values import ValueStudy

Json = dict[str, Any]


def envelope(content: Json, flags: Iterable[Flag] = ()) -> Json:
    """Return ``content`` with what every answer states: version, viewing and flags."""
    seen = viewing()
    return {
        "refmatch_version": __version__,
        "viewing": {"illuminant": seen.illuminant, "observer": seen.observer},
        **content,
        "flags": wire_flags(flags),
    }


def dump(content: Json) -> str:
    """Return one JSON object as text; a number that is not finite would be a mistake here."""
    return json.dumps(content, ensure_ascii=False, allow_nan=False, indent=2)


def wire_flags(flags: Iterable[Flag]) -> list[Json]:
    """Return flags as name and text."""
    return [{"name": flag.name, "text": flag.text} for flag in flags]


def wire_lab(lab: Array) -> list[float]:
    """Return Lab rounded to a ten-thousandth: far below what any eye or file tells."""
    return [number(value, 4) for value in np.asarray(lab)]  # type: ignore[misc]


def number(value: float | None, digits: int = 4) -> float | None:
    """Return a rounded number, or None for what is unknown or not finite."""
    if value is None or not math.isfinite(value):
        return None
    return round(float(value), digits) + 0.0


def wire_surface(surface: Surface, finish: str, specular: str) -> Json:
    """Return how the paint is looked at."""
    return {
        "finish": finish,
        "specular": specular,
        "saunderson": {"k1": surface.k1, "k2": surface.k2, "f": surface.f},
    }


def wire_spectrum(reflectance: Array) -> Json:
    """Return reflectance and the wavelengths it stands on."""
    return {
        "reflectance": [number(value, 6) for value in reflectance],
        "wavelengths_nm": [int(value) for value in WAVELENGTHS_NM],
    }


def wire_answer(answer: Answer) -> Json:
    """Return all that is said of one target."""
    return {
        "label": answer.label,
        "target": {"lab": wire_lab(answer.target_lab)},
        "in_gamut": answer.in_gamut,
        "reach": answer.reach,
        "recipes": [wire_recipe(recipe) for recipe in answer.recipes],
        "flags": wire_flags(answer.flags),
    }


def wire_recipe(recipe: Recipe) -> Json:
    """Return one recipe: net portions, what is laid out, its colour and its steps."""
    return {
        "why": recipe.why,
        "portions": [
            {
                "tube": portion.tube,
                "pigments": list(portion.pigments),
                "parts": number(portion.parts),
            }
            for portion in recipe.portions
        ],
        "laid_out": [
            {"tube": laid.tube, "parts": laid.parts, "let_down_white_parts": laid.white_parts}
            for laid in recipe.laid
        ],
        "lab": wire_lab(recipe.lab),
        "delta_e_00": number(recipe.delta_e_00),
        "delta_e_00_hand": number(recipe.delta_e_00_hand),
        "delta_e_00_hand_p90": number(recipe.delta_e_00_p90),
        "delta_lstar": number(recipe.d_lightness),
        "delta_cstar": number(recipe.d_chroma),
        "delta_hstar": number(recipe.d_hue),
        "verdict": recipe.verdict,
        "words": recipe.words,
        "steps": [wire_step(step) for step in recipe.steps],
        "flags": wire_flags(recipe.flags),
    }


def wire_step(step: Step) -> Json:
    """Return one step and the colour after it."""
    return {
        "action": step.action,
        "text": step.text,
        "tube": step.tube,
        "parts": number(step.parts),
        "lab": wire_lab(step.lab),
        "flags": wire_flags(step.flags),
    }


def wire_box(box: Box) -> Json:
    """Return a box and its tubes."""
    return {
        "name": box.name,
        "parts_by": box.parts,
        "tubes": [wire_tube(tube) for tube in box.tubes],
    }


def wire_tube(tube: Tube) -> Json:
    """Return what a tube holds."""
    return {
        "tube": tube.name,
        "pigments": list(tube.pigments),
        "source": tube.source,
        "grade": tube.grade,
        "strength": number(tube.strength),
    }


def wire_pigment(pigment: Pigment) -> Json:
    """Return what is known of a pigment, without its curves."""
    return {
        "key": pigment.key,
        "name": pigment.name,
        "index_names": list(pigment.index_names),
        "opacity": pigment.opacity,
        "tinting_strength": pigment.tinting_strength,
        "drying": pigment.drying,
        "lightfastness": pigment.lightfastness,
        "sinks": pigment.sinks,
        "cautions": list(pigment.cautions),
    }


def wire_mixture(mixture: ConvenienceMixture) -> Json:
    """Return what a ready mixture holds."""
    portions = [{"pigment": pigment, "parts": parts} for pigment, parts in mixture.portions]
    return {"key": mixture.key, "name": mixture.name, "portions": portions}


def wire_balance(balance: Balance) -> Json:
    """Return what was done about the light, and what it says."""
    return {
        "method": balance.method,
        "words": balance.words,
        "cast_kelvin": number(balance.cast_kelvin, 0),
        "cast_duv": number(balance.cast_duv, 5),
        "keep_light_percent": number(balance.keep_light, 2),
        "exposure_factor": number(balance.exposure_factor),
        "confidence": number(balance.confidence, 3),
        "matrix": [[number(value, 6) for value in row] for row in balance.matrix],
        "flags": wire_flags(balance.flags),
    }


def wire_photo(photo: Photo) -> Json:
    """Return what the photo's file says of itself."""
    return {
        "width_px": photo.width_px,
        "height_px": photo.height_px,
        "bit_depth": photo.bit_depth,
        "profile": photo.profile_name,
        "sha256": photo.sha256,
        "flags": wire_flags(photo.flags),
    }


def wire_sample(sample: Sample) -> Json:
    """Return the colour in one hole, in numbers and words."""
    return {
        "label": sample.label,
        "x_px": number(sample.x_px, 3),
        "y_px": number(sample.y_px, 3),
        "diameter_px": number(sample.diameter_px, 3),
        "lab": wire_lab(sample.lab),
        "covariance": [wire_lab(row) for row in sample.covariance],
        "words": describe(sample.lab),
        "munsell_value": number(float(munsell_value(sample.lab)), 2),
        "spread_delta_e_00": number(sample.spread_delta_e_00),
        "clipped_fraction": number(sample.clipped_fraction),
        "excluded_fraction": number(sample.excluded_fraction),
        "flags": wire_flags(sample.flags),
    }


def wire_family(family: Family) -> Json:
    """Return one family and where to punch a hole for it."""
    return {
        "label": family.label,
        "lab": wire_lab(family.lab),
        "words": describe(family.lab),
        "share": number(family.share),
        "spread_delta_e_00": number(family.spread_delta_e_00),
        "x_px": number(family.x_px, 2),
        "y_px": number(family.y_px, 2),
        "diameter_px": number(family.diameter_px, 2),
    }


def wire_values(study: ValueStudy) -> list[Json]:
    """Return the levels of a value study, darkest first."""
    return [
        {"munsell_value": number(value, 2), "share": number(share)}
        for value, share in zip(study.values, study.shares, strict=True)
    ]


def wire_sheet(painting: Painting, sheet: Path, folder: Path | None) -> Json:
    """Return what a sheet is of: the light, the masses, the targets and their recipes."""
    content = {
        "sheet": str(sheet),
        "painting": None if folder is None else str(folder),
        "title": painting.title,
        "balance": wire_balance(painting.balance),
        "families": [wire_mass(mass) for mass in painting.families],
        "targets": [
            wire_target(target, answer)
            for target, answer in zip(painting.targets, painting.recipes, strict=True)
        ],
        "parts_by": painting.parts_by,
    }
    return envelope(content, (*painting.flags, *painting.balance.flags))


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
