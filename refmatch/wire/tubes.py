"""Boxes, tubes and pigments."""

from __future__ import annotations

from refmatch.paint.box import Box, Tube
from refmatch.paint.library import ConvenienceMixture, Pigment
from refmatch.recipe.advice import Dab
from refmatch.wire.envelope import Json, number, wire_flags


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
        "swatches": tube.swatches,
        "residual_delta_e_00": number(tube.residual_delta_e_00),
        "doubt": number(tube.doubt),
        "flags": wire_flags(tube.flags),
    }


def wire_dab(dab: Dab) -> Json:
    """Return a dab to paint, and the doubt of the mixes wanted before and after it."""
    return {
        "portions": [{"tube": tube, "parts": parts} for tube, parts in dab.portions],
        "doubt_delta_e_00_before": number(dab.before),
        "doubt_delta_e_00_after": number(dab.after),
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
