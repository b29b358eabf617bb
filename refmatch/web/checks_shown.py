"""Checking as the page gets it: the photo on the table, each puddle's rounds, what moves it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from refmatch.dabs.verdict import judge
from refmatch.encode import Json, encode, number
from refmatch.encode.forms import nudge_form
from refmatch.recipe.doubt import uncertainty
from refmatch.say.recipe import alone_words, nudge_words
from refmatch.web.shown import page

if TYPE_CHECKING:  # photos are slow to load, and mixing needs none
    from refmatch.dabs.additions import Parts
    from refmatch.flag import Flag
    from refmatch.painting.model import Advised, Look, Round
    from refmatch.painting.record import PileNow
    from refmatch.recipe.nudge import Lesson, Nudge
    from refmatch.web.check_table import CardLaid, CheckTable, PhotoLaid, PuddleSeen

KEY_LETTERS = 16
"""So many letters of its SHA-256 name a photo to the page."""


def checks_shown(table: CheckTable) -> Json:
    """Return a painting's checks as they stand; its targets are known by their holes' keys."""
    content = {
        "id": table.key,
        "revision": table.revision,
        "photo": None if table.photo is None else _photo(table.photo, table.puddles),
        "card": None if table.card is None else _card(table.card),
        "puddles": [_puddle(each, table) for each in table.puddles],
        "has_same_light": table.has_same_light,
        "paints": dict(table.paints),
        "parts_by": table.parts_by,
        "judged": list(table.judged),
    }
    return page(content)


def nudges_shown(label: str, now: PileNow, lesson: Lesson, flags: Sequence[Flag]) -> Json:
    """Return a puddle of the page, and what moves it each way."""
    content = {
        "label": label,
        "now": _pile(now),
        "colour": lesson.lab,
        "nudges": [_nudge(each, nudge_words(lesson, each)) for each in lesson.nudges],
        "instead": [_nudge(each, alone_words(lesson, each)) for each in lesson.instead],
    }
    return page(content, flags)


def _photo(photo: PhotoLaid, puddles: Sequence[PuddleSeen]) -> Json:
    seen = [
        (each.hole, photo.outlines[each.label]) for each in puddles if each.label in photo.outlines
    ]
    return {
        "key": photo.key,
        "name": photo.name,
        "width_px": photo.width_px,
        "height_px": photo.height_px,
        "flags": tuple(photo.flags),
        "learnt": list(photo.learnt),
        "outlines": [
            {"hole": hole, "corners": [[number(x, 1), number(y, 1)] for x, y in corners]}
            for hole, corners in seen
        ],
    }


def _card(card: CardLaid) -> Json:
    return {
        "paper": card.paper,
        "grey_lstar": number(card.grey_lstar),
        "pages": card.pages,
        "holds": card.holds,
        "flags": tuple(card.flags),
    }


def _puddle(puddle: PuddleSeen, table: CheckTable) -> Json:
    return {
        "hole": puddle.hole,
        "label": puddle.label,
        "now": None if puddle.now is None else _now(puddle.now, puddle),
        "has_other_target": puddle.has_other_target,
        "rounds": [_round(each, table.looks) for each in puddle.rounds],
        "at_hand": [{"name": name, "kind": kind} for name, kind in puddle.at_hand.items()],
        "flags": tuple(puddle.flags),
    }


def _now(now: PileNow, puddle: PuddleSeen) -> Json:
    colour, off = puddle.now_lab, puddle.now_delta_e_00
    return {**_pile(now), "colour": colour, "delta_e_00": number(off)}


def _pile(now: PileNow) -> Json:
    return {**encode(now), "words": _parts_words(now.parts)}


def _parts_words(parts: Parts) -> str:
    from refmatch.painting.record import parts_line

    return parts_line(parts)


def _round(each: Round, looks: Mapping[str, Look]) -> Json:
    p50, p90 = uncertainty(each.lab, each.covariance)
    verdict = judge(each.lab, each.target_lab, p50)
    return {
        "pile": each.pile,
        "number": each.number,
        **_look(looks.get(each.look)),
        "parts_words": _parts_words(each.parts),
        "target": each.target_lab,
        "colour": each.lab,
        "delta_e_00": number(each.delta_e_00),
        "doubt_delta_e_00": number(p50),
        "doubt_delta_e_00_p90": number(p90),
        "verdict": each.verdict,
        "nearness": verdict.nearness,
        "words": each.words,
        "sentence": verdict.sentence,
        "advice": each.advice,
        "divide": each.divide,
        "fresh": each.fresh,
        "fresh_words": _parts_words(each.fresh_parts) or None,
        "corrections": [_advised(advised) for advised in each.corrections],
        "done": each.done,
    }


def _look(look: Look | None) -> Json:
    """Return what is said of a round's photo, null where it is lost."""
    return {
        "photo": look.photo.sha256[:KEY_LETTERS] if look else None,
        "date": look.date if look else None,
        "way": look.way if look else None,
        "state": look.state if look else None,
        "light": look.light if look else None,
    }


def _advised(advised: Advised) -> Json:
    return {
        "words": advised.words,
        "additions": advised.additions,
        "colour": advised.predicted_lab,
        "predicted_delta_e_00": number(advised.predicted_delta_e_00),
    }


def _nudge(nudge: Nudge, words: str) -> Json:
    form = nudge_form(nudge, words)
    return {**form, "colour": form.pop("lab")}
