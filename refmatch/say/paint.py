"""What is said of pigments, tubes, boxes and measurements."""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.say.sentence import Sentence


def _unknown_tube(tube: str, where: str, near: Sequence[str], known: Sequence[str]) -> str:
    hint = "did you mean" if near else "it holds"
    return f"There is no '{tube}' in {where}; {hint}: {', '.join(near or known)}."


def _no_spectra(is_stated: bool, illuminant: str) -> str:
    told = "told for" if is_stated else "taken to be for"
    return (
        f"Some readings are Lab only, {told} {illuminant}: how they look by other lamps, and in "
        "mixes, is known less well."
    )


def _other_viewing(file: str, stated: Sequence[str], illuminant: str, observer: str) -> str:
    return (
        f"The colours in '{file}' are told for {' and '.join(stated)}; export spectra, or Lab for "
        f"{illuminant} and {observer}."
    )


SENTENCES: dict[str, Sentence] = {
    "parts_by": "Parts are counted by mass or by volume, not by '{by}'.",
    "no_such_specular": "Specular is included or excluded, not '{specular}'.",
    "specular_stated": "'{file}' says that the specular was {stated}; {remedy}, or check the file.",
    "specular_unknown": "Was the surface's shine (the specular) included in '{file}'? Say "
    "{remedy}; a 45/0 instrument excludes it.",
    "no_spectra": _no_spectra,
    "other_viewing": _other_viewing,
    "plan_tube_unknown": "The plan's tube '{tube}': {why}",
    "plan_without_white": "The plan has no white; give the white's pigment in the column "
    "'pigment', such as PW6.",
    "ground_without_spectrum": "'{sample}' has no spectrum; a ground's is needed for films upon "
    "it.",
    "taken_as_hiding": "'{sample}' lies on a {ground} ground, but its twin on the other ground, or "
    "a bare ground, is not in the plan; it is taken to hide.",
    "unknown_tube": _unknown_tube,
}

REMEDIES: dict[str, Sentence] = {
    "specular_stated": "say nothing of it",
    "specular_unknown": "which",
}
"""What to do about it where no door says it in its own way."""
