"""The record of a puddle: rounds, what was done, what is in it, and how it is mixed again."""

from __future__ import annotations

from typing import TYPE_CHECKING

from refmatch.colorimetry.words import describe
from refmatch.wire.envelope import Json, number, wire_lab
from refmatch.wire.mixing import wire_doubt, wire_step, wire_surface

if TYPE_CHECKING:  # photos are slow to load, and mixing needs none
    from refmatch.painting.again import Again
    from refmatch.painting.record import PileNow
    from refmatch.painting.rounds import Added, Advised, Done, Look, Parts, Round


def wire_parts(parts: Parts) -> list[Json]:
    """Return net parts of tubes."""
    return [{"tube": tube, "parts": number(share)} for tube, share in parts]


def wire_added(added: Added) -> Json:
    """Return one addition, and the tubes that it is made of, in the parts that went in."""
    from refmatch.painting.record import own_parts

    return {
        "name": added.name,
        "parts": number(added.parts),
        "portions": wire_parts(own_parts(added)),
    }


def wire_done(done: Done | None) -> Json | None:
    """Return what was done after a round, null where nothing was said of it."""
    if done is None:
        return None
    return {
        "words": done.words,
        "divided": done.divided,
        "mixed_anew": done.anew,
        "additions": [wire_added(added) for added in done.additions],
    }


def wire_advised(advised: Advised) -> Json:
    """Return one correction as it was told."""
    return {
        "additions": [wire_added(added) for added in advised.additions],
        "predicted_lab": wire_lab(advised.predicted_lab),
        "predicted_delta_e_00": number(advised.predicted_delta_e_00),
        "words": advised.words,
    }


def wire_pile(now: PileNow) -> Json:
    """Return what is in a puddle now."""
    return {
        "portions": wire_parts(now.parts),
        "parts": number(sum(share for _, share in now.parts)),
        "pile": now.pile,
        "next_look": now.number,
    }


def wire_round(each: Round, look: Look | None) -> Json:
    """Return one round of a puddle's history; the photo and date are null where it is lost."""
    return {
        "target": each.target,
        "target_lab": wire_lab(each.target_lab),
        "pile": each.pile,
        "number": each.number,
        "date": look.date if look else None,
        "photo": look.photo.file if look else None,
        "way": look.way if look else None,
        "portions": wire_parts(each.parts),
        "measured_lab": wire_lab(each.measured_lab),
        "lab": wire_lab(each.lab),
        "delta_e_00": number(each.delta_e_00),
        "verdict": each.verdict,
        "words": each.words,
        "advice": each.advice,
        "corrections": [wire_advised(advised) for advised in each.corrections],
        "divide": each.divide,
        "fresh": each.fresh,
        "done": wire_done(each.done),
    }


def wire_again(again: Again) -> Json:
    """Return a puddle to be mixed again, and what the box now expects of it."""
    seen, ended = again.seen, again.ended
    return {
        "target": {
            "label": again.target.label,
            "lab": wire_lab(again.target.lab),
            "words": describe(again.target.lab),
        },
        "from": ended.source,
        "words": ended.words,
        "amount_ml": number(again.amount_ml) if again.box.parts == "volume" else None,
        "portions": [
            {
                "tube": each.tube,
                "parts": number(each.parts),
                "share": number(each.share),
                "volume_ml": number(each.volume_ml),
                "squeeze": each.squeeze,
            }
            for each in again.tubes
        ],
        "lab": wire_lab(again.lab),
        "lab_from": again.lab_from,
        "box_lab": wire_lab(again.box_lab),
        **wire_doubt(again.lab, again.covariance),
        "delta_e_00": number(again.delta_e_00),
        "last_seen": seen
        and {
            "date": seen.date,
            "lab": wire_lab(seen.lab),
            "delta_e_00": number(seen.delta_e_00),
            "delta_e_00_from_now": number(seen.delta_e_00_from_now),
        },
        "steps": [wire_step(step) for step in again.steps],
        "parts_by": again.box.parts,
        **wire_surface(again.box.surface, again.finish, "excluded"),
    }
