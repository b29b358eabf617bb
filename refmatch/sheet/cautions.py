"""What to beware of on the palette: by pigment, and what holds for every oil painter.

Facts of the trade (common practice, no source; labelling by ASTM D4236 and EU CLP):
the tube's own label and local rules come before anything said here.
"""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.painting.model import TubeOnTable
from refmatch.sheet.wording import listed, sentence

HARMFUL = {
    "antimony",
    "barium",
    "cadmium",
    "chromium",
    "cobalt",
    "copper",
    "lead",
    "manganese",
    "nickel",
    "selenium",
    "zinc",
}
"""Metals that must not be swallowed or breathed in; "chromium III" is one of them too."""

HANDLING = (
    "Gloves; no eating or drinking at the palette; no brush to the lips; "
    "never sand or spray it; nothing into the sink."
)

GENERAL = (
    "Solvents: fresh air, lids on. Oily rags and paper can catch fire by themselves: "
    "spread them to dry out of doors, or close them up under water in a metal can.",
    "Each tube's own label and local rules come first.",
)

OTHERS = {
    "dust": "a danger only as dry dust; do not sand it or breathe it in",
    "fades": "fades in light; keep it out of thin layers and pale tints",
    "tints may fade": "pale tints may fade in strong light",
    "weak to acid": "bleached by acid",
    "brittle film": "dries brittle; use it thin",
}
"""A sentence for each caution of another kind; an unknown one is printed as it stands."""


def cautions(tubes: Sequence[TubeOnTable]) -> tuple[str, ...]:
    """Return the sentences for these tubes, harm first, and then what holds for all."""
    by_caution: dict[str, list[str]] = {}
    for tube in tubes:
        for caution in tube.cautions:
            by_caution.setdefault(caution, []).append(tube.name)
    metals = {name: held for name, held in by_caution.items() if _is_metal(name)}
    others = {name: held for name, held in by_caution.items() if not _is_metal(name)}
    harm = (f"{_metals(metals)} {HANDLING}",) if metals else ()
    return (*harm, *(_other(name, held) for name, held in others.items()), *GENERAL)


def _is_metal(caution: str) -> bool:
    return caution.split()[0] in HARMFUL if caution else False


def _metals(held: dict[str, list[str]]) -> str:
    """Return "Cadmium and selenium in cadmium orange; cobalt in cerulean blue."."""
    by_tubes: dict[str, list[str]] = {}
    for metal, tubes in held.items():
        by_tubes.setdefault(listed(tubes), []).append(metal)
    parts = [f"{listed(metals)} in {tubes}" for tubes, metals in by_tubes.items()]
    return sentence("; ".join(parts))


def _other(caution: str, tubes: list[str]) -> str:
    return sentence(f"{listed(tubes)}: {OTHERS.get(caution, caution)}")
