"""What moves a puddle each way."""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.recipe.nudge import Lesson, Nudge
from refmatch.say.recipe import alone_words, nudge_words
from refmatch.wire.envelope import Json, number, wire_lab


def wire_lesson(lesson: Lesson, portions: Sequence[tuple[str, float]]) -> Json:
    """Return a puddle, a nudge each way, and what white and black alone do instead."""
    return {
        "puddle": {
            "lab": wire_lab(lesson.lab),
            "portions": [{"tube": tube, "parts": number(parts)} for tube, parts in portions],
        },
        "nudges": [wire_nudge(each, nudge_words(lesson, each)) for each in lesson.nudges],
        "instead": [wire_nudge(each, alone_words(lesson, each)) for each in lesson.instead],
    }


def wire_nudge(nudge: Nudge, words: str) -> Json:
    """Return what one tube does; all but direction and words are null where none can."""
    return {
        "direction": nudge.direction,
        "tube": None if nudge.lab is None else nudge.tube,
        "parts": number(nudge.parts),
        "lab": None if nudge.lab is None else wire_lab(nudge.lab),
        "delta_lstar": number(nudge.delta_lstar),
        "delta_cstar": number(nudge.delta_cstar),
        "delta_hue_deg": number(nudge.delta_hue_deg),
        "step_delta_e_00": number(nudge.step_delta_e_00),
        "side_effect_delta_e_00": number(nudge.side_effect_delta_e_00),
        "words": words,
    }
