"""What of a printed dab card still holds, when its painting has gone on meanwhile."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from refmatch.card.dab_card.layout import DabCard, TargetWindow
from refmatch.card.layout import PaintWindow
from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import CardError
from refmatch.flag import Flag
from refmatch.paint.box import Box

SAME_DELTA_E_00 = 0.5
"""A target that moved by less is the same: nobody would mix it anew (own choice)."""


def as_it_stands(card: DabCard, now: Mapping[str, Array], box: Box, title: str = "") -> DabCard:
    """Return the card with those windows that still mean what they say; flags tell of the rest.

    A target stands where the painting, by its title, has it now by that name and in that colour,
    (3,); paint where the ``box``, the painting's own, has that tube with the same pigments.

    Raises:
        CardError: no target stands.
    """
    targets = tuple(each for each in card.targets if _stands(each, now))
    if not targets:
        raise CardError("no_target_stands", title=title)
    held = {tube.name: tube.pigments for tube in box.tubes}
    tubes = tuple(tube for tube in card.tubes if held.get(tube.name) == tube.pigments)
    kept = {tube.name for tube in tubes}
    paints = tuple(each for each in card.paints if each.tube in kept)
    return replace(
        card,
        windows=(*targets, *paints),
        tubes=tubes,
        flags=(*_of_targets(card, targets, now), *_of_paints(card, paints)),
    )


def _stands(window: TargetWindow, now: Mapping[str, Array]) -> bool:
    lab = now.get(window.target)
    return lab is not None and float(delta_e_00(window.wanted, lab)) < SAME_DELTA_E_00


def _of_targets(
    card: DabCard, standing: tuple[TargetWindow, ...], now: Mapping[str, Array]
) -> tuple[Flag, ...]:
    stood = {each.target for each in standing}
    gone = [each.target for each in card.targets if each.target not in stood]
    new = [label for label in now if label not in {each.target for each in card.targets}]
    found = []
    if gone:
        found.append(Flag("target_changed", targets=tuple(gone)))
    if new:
        found.append(Flag("target_not_on_card", targets=tuple(new)))
    return tuple(found)


def _of_paints(card: DabCard, standing: tuple[PaintWindow, ...]) -> tuple[Flag, ...]:
    gone = {each.tube for each in card.paints} - {each.tube for each in standing}
    return tuple(Flag("paint_changed", tube=tube) for tube in sorted(gone))
