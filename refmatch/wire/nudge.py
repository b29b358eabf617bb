"""What moves a puddle each way."""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.recipe.nudge import Lesson, Nudge
from refmatch.wire.envelope import Json, number, wire_lab


def wire_lesson(lesson: Lesson, portions: Sequence[tuple[str, float]]) -> Json:
    """Return a puddle, a nudge each way, and what white and black alone do instead."""
    return {
        "puddle": {
            "lab": wire_lab(lesson.lab),
            "portions": [{"tube": tube, "parts": number(parts)} for tube, parts in portions],
        },
        "nudges": [wire_nudge(nudge) for nudge in lesson.nudges],
        "instead": [wire_nudge(nudge) for nudge in lesson.instead],
    }


def wire_nudge(nudge: Nudge) -> Json:
    """Return what one tube does; all but direction and words are null where none can."""
    return {
        "direction": nudge.direction,
        "tube": nudge.tube,
        "parts": number(nudge.parts),
        "lab": None if nudge.lab is None else wire_lab(nudge.lab),
        "delta_lstar": number(nudge.delta_lstar),
        "delta_cstar": number(nudge.delta_cstar),
        "delta_hue_deg": number(nudge.delta_hue_deg),
        "step_delta_e_00": number(nudge.step_delta_e_00),
        "side_effect_delta_e_00": number(nudge.side_effect_delta_e_00),
        "words": nudge.words,
    }
