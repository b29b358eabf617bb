"""What is said of sheets and other files that are written."""

from __future__ import annotations

from refmatch.say.sentence import Sentence

SENTENCES: dict[str, Sentence] = {}
