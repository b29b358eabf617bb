"""Photos: their light, and the colours, masses and values found in them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from refmatch.colorimetry.munsell import munsell_value
from refmatch.colorimetry.words import describe
from refmatch.say.light import light_words
from refmatch.wire.envelope import Json, number, wire_flags, wire_lab

if TYPE_CHECKING:  # photos are slow to load, and mixing needs none
    from refmatch.photo.families import Family
    from refmatch.photo.light import Balance
    from refmatch.photo.mask import Sample
    from refmatch.photo.photo import Photo
    from refmatch.photo.values import ValueStudy


def wire_balance(balance: Balance) -> Json:
    """Return what was done about the light, and what it says."""
    return {
        "method": balance.method,
        "words": light_words(balance),
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
