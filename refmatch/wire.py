"""Objects as JSON-ready dicts, in one place, for the command line and the page.

Keys are snake_case with units; unknown is None, never NaN.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable
from typing import Any

import numpy as np

from refmatch import __version__
from refmatch.colorimetry.spectrum import WAVELENGTHS_NM, Array
from refmatch.colorimetry.viewing import viewing
from refmatch.flag import Flag
from refmatch.paint.box import Box, Tube
from refmatch.paint.kubelka_munk import Surface
from refmatch.recipe.model import Answer, Recipe, Step

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
