"""What is said of pigments, tubes, boxes and measurements."""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.say.sentence import Sentence


def _unknown_tube(tube: str, where: str, near: Sequence[str], known: Sequence[str]) -> str:
    hint = "did you mean" if near else "it holds"
    return f"There is no '{tube}' in {where}; {hint}: {', '.join(near or known)}."


SENTENCES: dict[str, Sentence] = {
    "generic_curves": "Reckoned from generic curves of these pigments, not from your own tubes: "
    "expect the real mix to be about 3 dE00 off, sometimes 9; the dab is the judge.",
    "no_part_above_nothing": 'No part is above 0; give at least one, such as "PB29=1".',
    "not_a_portion": "'{text}' is not TUBE=PARTS; write it like \"PB29=3\".",
    "no_such_finish": "There is no finish '{finish}'; it is gloss, satin or matt.",
    "no_such_specular": "Specular is included or excluded, not '{specular}'.",
    "not_a_colour": "'{text}' is not a colour; write L*,a*,b* such as \"62,14,38\".",
    "unknown_tube": _unknown_tube,
}
