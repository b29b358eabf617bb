"""The painting's dab card on the page: laid out, printed, and what of it still holds."""

from __future__ import annotations

from pathlib import Path

from refmatch.card.check_table import CardLaid
from refmatch.card.dab_card import form
from refmatch.card.files import dab_card_pdf, make_dab_card
from refmatch.errors import CardError
from refmatch.flag import flag_of
from refmatch.painting.dab_card import dab_card_layout, dab_card_of
from refmatch.verbs.studio.desk import Desk


def lay_out(desk: Desk, paper: str, grey_lstar: float) -> None:
    """Lay out the dab card of a painting as it stands; an older one can no longer be read.

    Raises:
        CardError: the painting has no targets. UsageError: no such paper, no L* of a grey.
        OutputError: it cannot be written.
    """
    desk.sitting()
    make_dab_card(desk.folder, dab_card_pdf(desk.folder), paper, grey_lstar)


def printed(desk: Desk) -> tuple[str, bytes]:
    """Return the painting's title, and its dab card as it was laid out, PDF.

    Raises:
        CardError: none is laid out, or it is damaged.
    """
    from refmatch.card.dab_card import pdf  # ReportLab is slow to import

    card = form.read_card_file(dab_card_layout(desk.folder))
    return card.title, pdf.write(card)


def card_laid(folder: Path) -> CardLaid | None:
    """Return the dab card with what no longer holds of it, None where there is none to be read."""
    try:
        card = form.read_card_file(dab_card_layout(folder))
    except CardError:
        return None
    holds = True
    try:
        flags = dab_card_of(folder).flags
    except CardError as error:
        holds, flags = False, (flag_of(error),)
    return CardLaid(card.paper, card.neutral_value, card.pages, holds, flags)
