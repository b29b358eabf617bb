"""A dab against its target: what was found of each pile, and what to add."""

from __future__ import annotations

from refmatch.colorimetry.spectrum import Array
from refmatch.recipe.doubt import uncertainty
from refmatch.say.sentence import PLAIN, Remedies
from refmatch.swatch.checked import Checked, Checks
from refmatch.swatch.correct import Correction
from refmatch.wire.envelope import Json, envelope, number, wire_flags, wire_lab
from refmatch.wire.mixing import wire_recipe


def wire_checked(found: Checked, remedies: Remedies = PLAIN) -> Json:
    """Return one pile judged; `flags` are those of its dab."""
    job, advice = found.job, found.advice
    return {
        "label": job.label,
        "portions": [{"tube": tube, "parts": number(parts)} for tube, parts in job.parts],
        "pile": job.pile,
        "look": job.number,
        "measured": _wire_sure(found.measured_lab, found.measured_covariance),
        "estimated": _wire_sure(found.lab, found.covariance),
        "target": {"lab": wire_lab(job.target_lab)},
        "delta_e_00": number(advice.delta_e_00),
        "delta_lstar": number(found.delta_lstar),
        "delta_cstar": number(found.delta_cstar),
        "delta_hstar": number(found.delta_hstar),
        "words": found.verdict.words,
        "verdict": found.verdict.name,
        "nearness": found.verdict.nearness,
        "sentence": found.verdict.sentence,
        "advice": advice.words,
        "divide": advice.divide,
        "mix_anew": advice.fresh,
        "corrections": [wire_correction(each) for each in advice.corrections],
        "fresh_recipe": None if found.fresh is None else wire_recipe(found.fresh),
        "flags": wire_flags(found.flags, remedies),
    }


def wire_checks(found: Checks, remedies: Remedies = PLAIN) -> Json:
    """Return a whole check: of one dab its own keys, of a whole card a list of ``results``."""
    about = {
        "photo": found.photo,
        "way": found.way,
        "state": found.state,
        "light": found.light,
        "parts_by": found.box.parts,
        "learnt": list(found.learnt),
    }
    if found.whole_card:
        results = [wire_checked(each, remedies) for each in found.found]
        return envelope({**about, "results": results}, found.flags, remedies)
    only = found.found[0]
    return envelope({**about, **wire_checked(only)}, (*found.flags, *only.flags), remedies)


def wire_correction(each: Correction) -> Json:
    """Return one correction: what to add, in the order to add it, and where that leads.

    The parts are those of what is corrected: the pile, or a third of it where it is divided.
    """
    return {
        "additions": [
            {
                "tube": addition.ingredient.name,
                "parts": number(addition.parts),
                "kind": addition.ingredient.kind,
                "portions": [
                    {"tube": tube, "parts": number(addition.parts * share)}
                    for tube, share in addition.ingredient.own_parts
                ],
            }
            for addition in each.additions
        ],
        "predicted_lab": wire_lab(each.predicted_lab),
        "predicted_delta_e_00": number(each.predicted_delta_e_00),
        "expected_delta_e_00": number(each.expected_delta_e_00),
        "growth": number(each.growth),
        "counted_parts": number(each.counted_parts),
        "words": each.words,
    }


def _wire_sure(lab: Array, covariance: Array) -> Json:
    p50, p90 = uncertainty(lab, covariance)
    return {
        "lab": wire_lab(lab),
        "covariance": [wire_lab(row) for row in covariance],
        "uncertainty_delta_e_00": {"p50": number(p50), "p90": number(p90)},
    }
