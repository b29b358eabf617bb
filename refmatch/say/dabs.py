"""What is said of printed cards, charts, photos of dabs, and what is learnt from them."""

from __future__ import annotations

from refmatch.say.sentence import Sentence

SENTENCES: dict[str, Sentence] = {}
