"""What is said of paintings, their folders and records."""

from __future__ import annotations

from refmatch.say.sentence import Sentence

SENTENCES: dict[str, Sentence] = {}
