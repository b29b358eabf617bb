"""The light of a photo as the page gets it while the painter looks for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from refmatch.colorimetry.munsell import lstar_from_value, munsell_value
from refmatch.colorimetry.words import describe, value_words
from refmatch.say.light import light_words
from refmatch.wire.colour import filled
from refmatch.wire.envelope import Json, number, wire_flags

if TYPE_CHECKING:  # photos are slow to load, and mixing needs none
    from refmatch.photo.light import Balance
    from refmatch.photo.mask import Sample
    from refmatch.photo.values import ValueStudy


def wire_spot(sample: Sample, balance: Balance | None, refused: str = "") -> Json:
    """Return what a spot looks like as shot, and what it says of the light.

    ``light`` is null where it says nothing that can be used, and ``refused`` tells why.
    """
    spot = {
        "colour": sample.lab,
        "munsell_value": number(float(munsell_value(sample.lab)), 2),
        "words": describe(sample.lab),
        "light": None if balance is None else wire_cast(balance),
        "flags": wire_flags(sample.flags if balance is None else balance.flags),
        "refused": refused or None,
    }
    told: Json = filled(spot)
    return told


def wire_cast(balance: Balance) -> Json:
    """Return the light in words and figures; the exposure in stops, plus where it lightens.

    Figures are as fine as they can be meant: by a spot that is truly neutral the light
    is known to a hundred kelvin or so, and a guess is further off.
    """
    return {
        "words": light_words(balance),
        "cast_kelvin": number(balance.cast_kelvin, -2),
        "cast_duv": number(balance.cast_duv, 3),
        "exposure_stops": number(float(np.log2(balance.exposure_factor)), 2),
    }


def wire_study(study: ValueStudy) -> Json:
    """Return the values of a study, darkest first, each with its grey and its share."""
    rows = []
    for value, share in zip(study.values, study.shares, strict=True):
        grey = np.array([float(lstar_from_value(value)), 0.0, 0.0])
        rows.append(
            {
                "munsell_value": number(value, 2),
                "words": value_words(grey),
                "share": number(share),
                "colour": grey,
            }
        )
    told: Json = filled({"values": rows})
    return told
