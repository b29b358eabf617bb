"""The dab card last printed of a painting, as far as it still holds."""

from __future__ import annotations

from pathlib import Path

from refmatch.card.dab_card import form as dab_form
from refmatch.card.dab_card.layout import DabCard
from refmatch.card.dab_card.standing import as_it_stands
from refmatch.paint.box import Box
from refmatch.painting.model import Painting
from refmatch.painting.own_box import box_of
from refmatch.painting.store import read_painting

DAB_CARD = "dab-card.json"
"""The layout of a painting's dab card, in its folder."""


def dab_card_of(painting: Path) -> DabCard:
    """Return the dab card last printed of a painting, as far as it still holds; see its flags.

    Raises:
        PaintingError: no painting, or a damaged one. CardError: it has no dab card, a damaged one,
            or one whose targets are all gone.
    """
    found = read_painting(painting)
    card = dab_form.read_card_file(dab_card_layout(painting))
    return still_standing(card, found, box_of(found))


def still_standing(card: DabCard, painting: Painting, box: Box) -> DabCard:
    """Return the card with those windows that still mean what they say; flags tell of the rest.

    Raises:
        CardError: no target stands.
    """
    now = {target.label: target.lab for target in painting.targets}
    return as_it_stands(card, now, box, painting.title)


def dab_card_layout(painting: Path) -> Path:
    """Return where the layout of a painting's dab card lies."""
    return Path(painting) / DAB_CARD
