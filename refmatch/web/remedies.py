"""What to do about it at the page: what can be tapped; by the names of `refmatch.say`."""

from __future__ import annotations

from refmatch.say.sentence import Sentence

REMEDIES: dict[str, Sentence] = {
    "no_neutral_spot": "; click it",
}
