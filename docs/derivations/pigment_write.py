"""Write a pigment or a convenience mixture as the TOML file that refmatch reads."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from refmatch.colorimetry.spectrum import BANDS, Array

HEAD = "# Written by docs/derivations/pigments.py; change what it reads, then run it again.\n"


@dataclass(frozen=True, eq=False)
class Written:
    """What is known of a pigment: its ``properties``; ``curves`` (62,), K and then S; residuals."""

    properties: dict[str, Any]
    curves: Array
    residuals: list[float]


def write_pigment(key: str, written: Written, medium: str, source: str) -> str:
    """Return the text of a pigment's file.

    ``medium`` says what its curves come from: "oil, measured", "acrylic, published" or
    "from memory"; ``source`` how.
    """
    pigment = written.properties
    lines = [
        'format = "refmatch-pigment"',
        "version = 1",
        *_entries(pigment | {"key": key}, "key", "name", "index_names", "principal"),
        "",
        "[properties]",
        *_entries(pigment, "kind", "opacity", "tinting_strength", "drying", "lightfastness"),
        *_entries(pigment, "sinks", "cautions"),
        'provenance = "from memory"',
        "source = \"the general run of artists' paints; a tube's own label comes first\"",
        "",
        "[curve]",
        f'medium = "{medium}"',
        _array("absorption", written.curves[:BANDS], 8),
        _array("scattering", written.curves[BANDS:], 8),
        f"doubt = {pigment['doubt']}",
        'doubt_provenance = "from memory"',
        f'provenance = "{"from memory" if medium == "from memory" else "fitted"}"',
        f"source = {json.dumps(source)}",
        *_residuals(written.residuals),
    ]
    return "\n".join(lines) + "\n"


def write_mixture(key: str, mixture: dict[str, Any]) -> str:
    """Return the text of a convenience mixture's file."""
    lines = [HEAD + 'format = "refmatch-pigment"', "version = 1"]
    lines += _entries(mixture | {"key": key}, "key", "name")
    if "residuals" in mixture:
        source = f"parts fitted to the colours of such a tube in {mixture['source']}"
        lines += [
            'provenance = "fitted"',
            f"source = {json.dumps(source)}",
            *_residuals(mixture["residuals"]),
        ]
    else:
        lines += [
            'provenance = "from memory"',
            'source = "the pigments that labels usually name; the parts are a guess"',
        ]
    for name, parts in mixture["parts"].items():
        lines += ["", "[[portions]]", f'pigment = "{name}"', f"parts = {parts}"]
    return "\n".join(lines) + "\n"


def _residuals(residuals: list[float]) -> list[str]:
    return [
        "# dE00 of masstone and let-downs against the colours named above, in their order",
        f"residuals = {[round(each, 2) for each in residuals]}",
    ]


def _entries(table: dict[str, Any], *names: str) -> list[str]:
    return [f"{name} = {json.dumps(table[name], ensure_ascii=False)}" for name in names]


def _array(name: str, values: Array, per_line: int) -> str:
    written = [f"{value:.4g}" for value in values]
    rows = [written[i : i + per_line] for i in range(0, len(written), per_line)]
    body = "".join(f"    {', '.join(_floats(row))},\n" for row in rows)
    return f"{name} = [\n{body}]"


def _floats(row: list[str]) -> list[str]:
    return [text if any(c in text for c in ".e") else f"{text}.0" for text in row]
