"""The printed cards as files: a box's, a painting's, and the value finder.

The layout is written too, since a photo of a card cannot be read without it: that of a calibration
card or a value finder beside its PDF, that of a dab card into the painting's folder.
"""

from __future__ import annotations

import os
from pathlib import Path

from refmatch.dabs import box_card
from refmatch.dabs import dab_card as dab_form
from refmatch.dabs.box_card import compose
from refmatch.dabs.card import GREY_CARD_LSTAR, Card
from refmatch.dabs.dab_card import DabCard, Wanted
from refmatch.dabs.dab_card import compose as lay_out
from refmatch.dabs.value_finder import ValueFinder, finder_to_json
from refmatch.disk import check_folder_of, write_whole
from refmatch.errors import UsageError
from refmatch.paint.box import Box
from refmatch.painting.check import dab_card_layout
from refmatch.painting.model import Painting, chosen_recipe
from refmatch.painting.outputs import check_replaceable
from refmatch.painting.own_box import box_of
from refmatch.painting.store import read_painting
from refmatch.say.recipe import laid_line
from refmatch.say.sentence import NBSP

DAB_CARD_PDF = "dab-card.pdf"
"""A painting's dab card as PDF, where no other place is asked for."""


def make_card(
    box: Box,
    out: Path,
    paper: str = "a4",
    neutral_value: float = GREY_CARD_LSTAR,
    *,
    is_short: bool = False,
    replace: bool = False,
) -> Card:
    """Write a box's calibration card as ``out`` and its layout as the .json beside it.

    A short one has no dabs of two tubes. The layout of another card, which may be printed and
    painted by now, is only written over where ``replace`` says so.

    Raises:
        BoxError: it has no white. UsageError: not a .pdf, no such paper, no L*
            of a grey. OutputError: it cannot be written, or another file is there.
    """
    _check_pdf(out)
    card = compose(box, paper, neutral_value, is_short=is_short)
    from refmatch.sheet.card_pages import write as write_pages  # ReportLab is slow to import

    layout, text = layout_beside(out), box_card.card_to_json(card)
    over = replace or os.path.lexists(layout)
    check_replaceable(layout, replace=replace, data=text.encode("utf-8"))
    _write(out, write_pages(card), layout, text, over=over)
    return card


def make_value_finder(card: ValueFinder, out: Path, *, replace: bool = False) -> None:
    """Write a value finder as ``out`` and its layout as the .json beside it.

    Raises:
        UsageError: not a .pdf. OutputError: it cannot be written, or another file is there.
    """
    _check_pdf(out)
    from refmatch.sheet.value_finder_pages import write as write_pages  # ReportLab is slow

    layout, text = layout_beside(out), finder_to_json(card)
    check_replaceable(layout, replace=replace, data=text.encode("utf-8"))
    _write(out, write_pages(card), layout, text)


def make_dab_card(
    painting: Path,
    out: Path,
    paper: str = "a4",
    neutral_value: float = GREY_CARD_LSTAR,
) -> DabCard:
    """Write a painting's dab card as ``out`` and its layout into the painting's folder.

    Raises:
        PaintingError: no painting, or a damaged one. CardError: it has no targets. UsageError: not
            a .pdf, no such paper, no L* of a grey. OutputError: it cannot be written.
    """
    found = read_painting(painting)
    _check_pdf(out)
    card = compose_dab_card(found, box_of(found), paper, neutral_value)
    from refmatch.sheet.dab_card_pages import write as write_pages  # ReportLab is slow

    printed = write_pages(card)
    _write(out, printed, dab_card_layout(painting), dab_form.card_to_json(card))
    return card


def compose_dab_card(
    painting: Painting, box: Box, paper: str = "a4", neutral_value: float = GREY_CARD_LSTAR
) -> DabCard:
    """Lay out the dab card of a painting; ``box`` is its own.

    Raises:
        CardError: the painting has no targets. UsageError: an unknown paper, no L* of a grey.
    """
    wanted = [_wanted(painting, place) for place in range(len(painting.targets))]
    return lay_out(painting.title, wanted, box, paper, neutral_value)


def _wanted(painting: Painting, place: int) -> Wanted:
    target, recipe = painting.targets[place], chosen_recipe(painting, place)
    line = laid_line(recipe).replace(NBSP, " ") if recipe else ""
    return Wanted(target.label, target.lab, painting.words[place].colour, line)


def layout_beside(out: Path) -> Path:
    """Return where the layout of a calibration card is written: beside its PDF."""
    return out.with_suffix(".json")


def dab_card_pdf(painting: Path) -> Path:
    """Return where a painting's dab card is written where no other place is asked for."""
    return Path(painting) / DAB_CARD_PDF


def _check_pdf(out: Path) -> None:
    if out.suffix.lower() != ".pdf":
        raise UsageError("card_is_pdf", name=out.with_suffix(".pdf").name)
    check_folder_of(out)


def _write(out: Path, printed: bytes, layout: Path, text: str, *, over: bool = True) -> None:
    write_whole(layout, text.encode("utf-8"), over=over)
    write_whole(out, printed)
