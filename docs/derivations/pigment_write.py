"""Write a pigment or a convenience mixture as the TOML file that refmatch reads."""

from __future__ import annotations

import json
from typing import Any

from refmatch.colorimetry.spectrum import BANDS, Array

HEAD = "# Written by docs/derivations/pigments.py; change what it reads, then run it again.\n"


def write_pigment(
    key: str,
    pigment: dict[str, Any],
    curves: Array,
    residuals: list[float],
    measured: dict[str, Any] | None,
) -> str:
    """Return the text of a pigment's file; ``curves`` (62,) holds K, then S."""
    lines = [
        HEAD + 'format = "refmatch-pigment"',
        "version = 1",
        *_entries(pigment | {"key": key}, "key", "name", "index_names", "principal"),
        "",
        "[properties]",
        *_entries(pigment, "opacity", "tinting_strength", "drying", "lightfastness"),
        *_entries(pigment, "sinks", "cautions"),
        'provenance = "from memory"',
        "source = \"the general run of artists' paints; a tube's own label comes first\"",
        "",
        "[curve]",
        _array("absorption", curves[:BANDS], 8),
        _array("scattering", curves[BANDS:], 8),
        f"doubt = {pigment['doubt']}",
        'doubt_provenance = "from memory"',
        f'provenance = "{"fitted" if measured else "from memory"}"',
        f"source = {json.dumps(_source(measured))}",
        *_residuals(residuals),
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
        "# dE00 of masstone, 1:1, 1:9 and 1:49 in white against the colours named above",
        f"residuals = {[round(each, 2) for each in residuals]}",
    ]


def _source(measured: dict[str, Any] | None) -> str:
    if measured:
        return f"fitted to colours of this paint and its mixtures in {measured['source']}"
    return "bands, edges and strength after its neighbours, Lab of masstone and tints, from memory"


def _entries(table: dict[str, Any], *names: str) -> list[str]:
    return [f"{name} = {json.dumps(table[name], ensure_ascii=False)}" for name in names]


def _array(name: str, values: Array, per_line: int) -> str:
    written = [f"{value:.4g}" for value in values]
    rows = [written[i : i + per_line] for i in range(0, len(written), per_line)]
    body = "".join(f"    {', '.join(_floats(row))},\n" for row in rows)
    return f"{name} = [\n{body}]"


def _floats(row: list[str]) -> list[str]:
    return [text if any(c in text for c in ".e") else f"{text}.0" for text in row]
