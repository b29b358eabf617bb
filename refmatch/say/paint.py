"""What is said of pigments, tubes, boxes and measurements."""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.say.sentence import Sentence


def _unknown_tube(tube: str, where: str, near: Sequence[str], known: Sequence[str]) -> str:
    hint = "did you mean" if near else "it holds"
    return f"There is no '{tube}' in {where}; {hint}: {', '.join(near or known)}."


SENTENCES: dict[str, Sentence] = {
    "unknown_tube": _unknown_tube,
}
