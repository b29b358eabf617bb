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
        'source = "the general run of artists\' paints; a tube\'s own label comes first"',
        "",
        "[curve]",
        _array("absorption", curves[:BANDS], 8),
        _array("scattering", curves[BANDS:], 8),
        f"doubt = {pigment['doubt']}",
        'doubt_provenance = "from memory"',
        f'provenance = "{"fitted" if measured else "from memory"}"',
        f"source = {json.dumps(_source(pigment, measured))}",
        "# dE00 of masstone, 1:1, 1:9 and 1:49 in white against the colours named above",
        f"residuals = {[round(each, 2) for each in residuals]}",
    ]
    return "\n".join(lines) + "\n"


def write_mixture(key: str, mixture: dict[str, Any]) -> str:
    """Return the text of a convenience mixture's file."""
    provenance = mixture.get("provenance", "from memory")
    source = mixture.get("source", "the pigments that labels usually name; the parts are a guess")
    lines = [
        HEAD + 'format = "refmatch-pigment"',
        "version = 1",
        *_entries(mixture | {"key": key}, "key", "name"),
        f"provenance = {json.dumps(provenance)}",
        f"source = {json.dumps(source)}",
    ]
    for name, parts in mixture["parts"].items():
        lines += ["", "[[portions]]", f'pigment = "{name}"', f"parts = {parts}"]
    return "\n".join(lines) + "\n"


def _source(pigment: dict[str, Any], measured: dict[str, Any] | None) -> str:
    if measured:
        return f"fitted to the colours of this pigment's paint and its mixtures in {measured['source']}"
    colours = " and to Lab of masstone and tints from memory" if "remembered" in pigment else ""
    return f"its bands, edges and peaks from memory, fitted to the strength of its neighbours{colours}"


def _entries(table: dict[str, Any], *names: str) -> list[str]:
    return [f"{name} = {json.dumps(table[name], ensure_ascii=False)}" for name in names]


def _array(name: str, values: Array, per_line: int) -> str:
    written = [f"{value:.4g}" for value in values]
    rows = [written[i : i + per_line] for i in range(0, len(written), per_line)]
    body = "".join(f"    {', '.join(_floats(row))},\n" for row in rows)
    return f"{name} = [\n{body}]"


def _floats(row: list[str]) -> list[str]:
    return [text if any(c in text for c in ".e") else f"{text}.0" for text in row]
