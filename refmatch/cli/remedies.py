"""What to do about it at the prompt: options and commands; by the names of `refmatch.say`."""

from __future__ import annotations

from refmatch.say.sentence import Sentence

REMEDIES: dict[str, Sentence] = {
    "nothing_to_plan": "give a --hole, or leave them all out",
    "typeface_missing": "install it with 'pip install {package}'",
}
