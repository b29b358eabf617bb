"""Whatever is said in JSON, at the prompt, in a sheet's file and to the page, by one encoder."""

from __future__ import annotations

from refmatch.encode.forms import (
    Json,
    again_form,
    canvas_form,
    checks_form,
    doubt,
    fields,
    looked_at,
    number,
    portions_of,
    rounds,
    sheet_form,
)
from refmatch.encode.walk import Finished, content_form, dump, encode, envelope

__all__ = [
    "Finished",
    "Json",
    "again_form",
    "canvas_form",
    "checks_form",
    "content_form",
    "doubt",
    "dump",
    "encode",
    "envelope",
    "fields",
    "looked_at",
    "number",
    "portions_of",
    "rounds",
    "sheet_form",
]
