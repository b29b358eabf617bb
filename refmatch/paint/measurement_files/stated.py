"""What the header of a CGATS.17 file states of light, observer and geometry."""

from __future__ import annotations

import re
from collections.abc import Sequence

from refmatch.paint.measurement_files.cgats_tables import Keyword
from refmatch.paint.measurement_files.model import OBSERVERS

FIRST_ASKED = ("WEIGHTING_FUNCTION", "ILLUMINANT", "ILLUMINATION_NAME", "OBSERVER")
"""Keywords that speak of the computation, asked before those that may mean the lamp."""

ILLUMINANT = re.compile(
    r"ILLUMIN(?:ANT|ATION)(?:_NAME)?\W+(D\d\d|[ABCE]|FL?\d{1,2}|LED-\w+|TL8\d)(?!\w)"
)
OBSERVER = re.compile(r"OBSERVER[_ ]?(?:ANGLE)?\W+(?:CIE\W+)?(1931|1964)?\W*(10|2)?(?!\d)")
BOTH = re.compile(r"\b(D\d\d)\s*/\s*(10|2)(?!\d)")
"""The short form "D50/2", common practice."""

GEOMETRY = {
    "included": re.compile(r"\b(SCI|RSIN|SPIN|DI:8|D:8I|8:DI)\b|SPECULAR[\W_]*INCLUDED"),
    "excluded": re.compile(
        r"\b(SCE|RSEX|SPEX|DE:8|D:8E|8:DE)\b|SPECULAR[\W_]*EXCLUDED|"
        r"\b45°?[A-Z]?[/:]0|\b0°?[/:]45"
    ),
}
"""How a geometry is written (CIE 015:2018, section 5: de:8, di:8, 45x:0; others common
practice, no source). 45/0 does not see the shine."""


def illuminant(header: Sequence[Keyword]) -> str:
    """Return the illuminant that colours were reckoned for, or nothing."""
    found = (ILLUMINANT.search(text) or BOTH.search(text) for text in _texts(header))
    return next((match[1] for match in found if match), "")


def observer(header: Sequence[Keyword]) -> str:
    """Return the standard observer that colours were reckoned for, or nothing."""
    for text in _texts(header):
        match = OBSERVER.search(text)
        if match and (match[1] or match[2]):
            degrees = {"1931": "2", "1964": "10"}.get(match[1] or "", match[2])
            return OBSERVERS[degrees]
        if both := BOTH.search(text):
            return OBSERVERS[both[2]]
    return ""


def specular(header: Sequence[Keyword]) -> str:
    """Return "included" or "excluded" where the geometry says so, or nothing."""
    said = " ".join(
        text for text in _texts(header) if "GEOMETRY" in text or text.startswith("SPECULAR")
    )
    ways = [way for way, written in GEOMETRY.items() if written.search(said)]
    return ways[0] if len(ways) == 1 else ""


def _texts(header: Sequence[Keyword]) -> list[str]:
    ordered = sorted(header, key=lambda each: each.key not in FIRST_ASKED)
    return [f"{each.key} {each.value}".upper() for each in ordered]
