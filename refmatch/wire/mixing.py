"""Recipes and the colours they make."""

from __future__ import annotations

from refmatch.colorimetry.spectrum import WAVELENGTHS_NM, Array
from refmatch.paint.kubelka_munk import Surface
from refmatch.recipe.doubt import uncertainty
from refmatch.recipe.model import Answer, Laid, Recipe, Step
from refmatch.wire.envelope import Json, number, wire_flags, wire_lab


def wire_surface(surface: Surface, finish: str, specular: str) -> Json:
    """Return how the paint is looked at."""
    return {
        "finish": finish,
        "specular": specular,
        "saunderson": {"k1": surface.k1, "k2": surface.k2, "f": surface.f},
    }


def wire_doubt(lab: Array, covariance: Array) -> Json:
    """Return how far a predicted colour may be off: covariance in Lab, and dE00 at p50 and p90."""
    p50, p90 = uncertainty(lab, covariance)
    return {
        "covariance": [wire_lab(row) for row in covariance],
        "uncertainty_delta_e_00": {"p50": number(p50), "p90": number(p90)},
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
        "gap_delta_e_00": number(answer.gap),
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
        "laid_out": [wire_laid(laid) for laid in recipe.laid],
        "lab": wire_lab(recipe.lab),
        "delta_e_00": number(recipe.delta_e_00),
        "delta_e_00_hand": number(recipe.delta_e_00_hand),
        "delta_e_00_hand_p90": number(recipe.delta_e_00_hand_p90),
        "delta_lstar": number(recipe.delta_lstar),
        "delta_cstar": number(recipe.delta_cstar),
        "delta_hstar": number(recipe.delta_hstar),
        **(wire_doubt(recipe.lab, recipe.covariance) if recipe.covariance is not None else {}),
        "verdict": recipe.verdict,
        "words": recipe.words,
        "trade": recipe.trade,
        "steps": [wire_step(step) for step in recipe.steps],
        "flags": wire_flags(recipe.flags),
    }


def wire_laid(laid: Laid) -> Json:
    """Return whole parts of a tube, or of its let-down, as the hand lays them out."""
    return {"tube": laid.tube, "parts": laid.parts, "let_down_white_parts": laid.white_parts}


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
