"""The puddles of a painting as the page shows them, each with all that can go into it."""

from __future__ import annotations

from collections.abc import Mapping

from refmatch.card.check_table import PuddleSeen
from refmatch.card.dab_card.standing import SAME_DELTA_E_00
from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import PaintingError, UnknownTube
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.painting.model import Painting
from refmatch.painting.record import LEFT_OVER, PileNow, belief_now, left_over, pile_now, rounds_of
from refmatch.painting.sitting import Sitting
from refmatch.swatch.pile import PUDDLE, ingredients_of


def puddles_seen(
    sitting: Sitting, box: Box, flags: Mapping[str, tuple[Flag, ...]]
) -> tuple[PuddleSeen, ...]:
    """Return each target's puddle; ``flags`` are those of its dab by its label."""
    painting = sitting.painting
    return tuple(
        _puddle(painting, box, place, hole.key, flags.get(painting.targets[place].label, ()))
        for place, hole in enumerate(sitting.holes)
    )


def paints_of(box: Box) -> dict[str, str]:
    """Return the names of the box's white and black, where it has them."""
    white = next((tube.name for tube in box.tubes if tube.is_white), None)
    black = box.black.name if box.black else None
    return {key: name for key, name in (("white", white), ("black", black)) if name}


def _puddle(
    painting: Painting, box: Box, place: int, hole: str, flags: tuple[Flag, ...]
) -> PuddleSeen:
    target = painting.targets[place]
    rounds, now = rounds_of(painting, target.label), _now(painting, target.label)
    believed = _believed(painting, target.label, box)
    return PuddleSeen(
        hole=hole,
        label=target.label,
        rounds=rounds,
        has_other_target=bool(rounds) and _is_other(rounds[-1].target_lab, target.lab),
        now=now,
        at_hand=_at_hand(painting, box, target.label, now),
        flags=flags,
        now_lab=believed,
        now_delta_e_00=None if believed is None else float(delta_e_00(believed, target.lab)),
    )


def _believed(painting: Painting, label: str, box: Box) -> Array | None:
    """Return the colour that a puddle is believed to have; None of tubes the box has no more."""
    try:
        belief = belief_now(painting, label, box)
    except UnknownTube:
        return None
    return None if belief is None else belief.lab


def _is_other(before: Array, now: Array) -> bool:
    return float(delta_e_00(before, now)) >= SAME_DELTA_E_00


def _now(painting: Painting, label: str) -> PileNow | None:
    try:
        return pile_now(painting, label)
    except PaintingError:
        return None


def _at_hand(painting: Painting, box: Box, label: str, now: PileNow | None) -> dict[str, str]:
    """Return tubes, let-downs, the core, other puddles that were looked at, and leftovers."""
    held = {tube.name for tube in box.tubes}
    parts = tuple(each for each in now.parts if each[0] in held) if now else ()
    own = {each.name: each.kind for each in ingredients_of(box, parts)}
    others = []
    for other in (target.label for target in painting.targets):
        if other != label and rounds_of(painting, other):
            others.append(other)
        if left_over(painting, other):
            others.append(f"{other}{LEFT_OVER}")
    return dict.fromkeys(others, PUDDLE) | own
