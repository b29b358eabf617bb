"""Anything that the program knows as JSON: one walk over what there is, by the names it has.

A dataclass is an object by its fields' names, a tuple a list, a number rounded, unknown null
and never NaN, a flag its name and its sentence. What a type's JSON has beyond its fields, or
leaves out, stands in `encode.forms.FORMS`.
"""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Iterable, Mapping
from pathlib import PurePath
from typing import TYPE_CHECKING, Any

import numpy as np

from refmatch import __version__
from refmatch.colorimetry.viewing import viewing
from refmatch.encode.forms import DIGITS, FORMS, Json, fields, number
from refmatch.flag import Flag
from refmatch.say.sentence import PLAIN, Remedies, sentence_of

if TYPE_CHECKING:  # sheets are slow to load, and mixing needs none
    from refmatch.sheet.content import Content

DIGITS_OF = {
    "box_lstar": 3,
    "cast_duv": 5,
    "cast_kelvin": 0,
    "confidence": 3,
    "curve_lstar": 3,
    "diameter_px": 3,
    "keep_light_percent": 2,
    "matrix": 6,
    "munsell_value": 2,
    "nearest_delta_e_00": 2,
    "outline_ab": 2,
    "reflectance": 6,
    "squeezed_cm": 1,
    "strength_percent": 1,
    "x_px": 3,
    "y_px": 3,
}
"""Digits that a key's numbers are rounded to, where that is not `DIGITS`."""


class Ready(dict[str, Any]):
    """JSON that is ready to go out: it is put into an answer as it is, however often."""


def encode(value: object, remedies: Remedies = PLAIN, *, bare: bool = False) -> Any:
    """Return anything as JSON values.

    Args:
        value: a dataclass, an array, a mapping, a list or tuple of such, a number, a text.
        remedies: a door's own, for the sentences of flags.
        bare: leave every colour, Lab (3,), an array, for a door that shows it.
    """
    return _walked(value, remedies, bare, DIGITS)


def envelope(
    content: Json,
    flags: Iterable[Flag] = (),
    remedies: Remedies = PLAIN,
    *,
    bare: bool = False,
) -> Json:
    """Return ``content`` encoded, with what every answer states: version, viewing and flags."""
    condition = viewing()
    stated = {"illuminant": condition.illuminant, "observer": condition.observer}
    whole = {
        "refmatch_version": __version__,
        "viewing": stated,
        **content,
        "flags": tuple(flags),
    }
    encoded: Json = encode(whole, remedies, bare=bare)
    return encoded


def content_form(content: Content) -> Json:
    """Return what a sheet prints, without the pictures and the plan, and with plain spaces."""
    form: Json = _plain_spaces(encode(fields(content, "photo", "values", "plan")))
    return form


def _plain_spaces(value: Any) -> Any:
    """Return JSON values with no space that keeps words together on paper."""
    if isinstance(value, str):
        return value.replace("\u00a0", " ")
    if isinstance(value, dict):
        return {key: _plain_spaces(item) for key, item in value.items()}
    return [_plain_spaces(item) for item in value] if isinstance(value, list) else value


def dump(content: Json) -> str:
    """Return one JSON object as text; a number that is not finite would be a mistake here."""
    return json.dumps(content, ensure_ascii=False, allow_nan=False, indent=2)


def _walked(value: Any, remedies: Remedies, bare: bool, digits: int) -> Any:
    if value is None or isinstance(value, str | bool | int):
        return value
    if isinstance(value, Ready):
        return value
    if isinstance(value, float | np.floating):
        return number(float(value), digits)
    if isinstance(value, Flag):
        return {"name": value.name, "text": sentence_of(value, remedies)}
    if isinstance(value, np.ndarray):
        if bare and value.shape == (3,):
            return value
        return _walked(value.tolist(), remedies, bare, digits)
    form = FORMS.get(type(value).__name__)
    if form is not None:
        value = form(value)
    elif dataclasses.is_dataclass(value):
        value = fields(value)
    if isinstance(value, Mapping):
        return {
            key: _walked(item, remedies, bare, DIGITS_OF.get(key, DIGITS))
            for key, item in value.items()
        }
    if isinstance(value, PurePath):
        return str(value)
    if isinstance(value, np.generic):
        return value.item()
    return [_walked(item, remedies, bare, digits) for item in value]
