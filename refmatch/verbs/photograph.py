"""A box from photos of dabs: found by the printed card, or named one by one."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from refmatch.card.chart.read import ChartUse
from refmatch.card.page import GREY_CARD_LSTAR
from refmatch.card.read import read_card
from refmatch.disk import check_folder_of
from refmatch.errors import UsageError
from refmatch.flag import Flag
from refmatch.paint.box import Box
from refmatch.paint.box_file import write_box
from refmatch.paint.characterise.learnt import Named
from refmatch.photo.load import load
from refmatch.swatch.calibrate import Calibrated, calibrate
from refmatch.swatch.lamp import Light, light_said
from refmatch.verbs.dabs.by_card import card_for, found_by_card
from refmatch.verbs.dabs.by_hand import found_by_hand
from refmatch.verbs.dabs.found import DabsFound
from refmatch.verbs.mix import open_box


@dataclass(frozen=True)
class PhotographAsked:
    """What is photographed: by a printed card, or as dabs and a neutral spot by hand.

    ``dabs`` are "X,Y[,D]=TUBE,PARTS,WHITE_PARTS"; ``light`` is a temperature in kelvin, "A"
    or "LED", None where nobody knows.
    """

    photos: tuple[Path, ...]
    box: Path | None = None
    card: Path | None = None
    dabs: tuple[str, ...] = ()
    neutral: str | None = None
    neutral_lstar: float = GREY_CARD_LSTAR
    light: str | None = None
    name: str | None = None


@dataclass(frozen=True, eq=False)
class PhotographedBox:
    """A box of photographed tubes, and how well it explains its dabs (dE00, by their labels).

    ``charts`` says of each photo whether a 24-patch chart was found in it and used.
    """

    box: Box
    misses: tuple[tuple[str, float], ...]
    flags: tuple[Flag, ...]
    charts: tuple[ChartUse, ...] = ()


def photograph_box(asked: PhotographAsked, out: Path) -> PhotographedBox:
    """Make a box of a painter's own tubes from photos of their dabs, and write it.

    Raises:
        CardError: the card is not found, or is another box's. PhotoError, BoxError,
            UsageError, HoleError: what they say. OutputError: it cannot be written.
    """
    check_folder_of(out)
    box = open_box(asked.box)
    light = light_said(asked.light) if asked.light else None
    found = _by_card(asked, asked.card, box) if asked.card else _by_hand(asked, box)
    made = calibrated(box, found, light, asked.name or out.stem)
    write_box(out, made.box)
    misses = zip((dab.label for dab in found.dabs), made.misses, strict=True)
    return PhotographedBox(made.box, tuple(misses), (*found.flags, *flags_of(made)), found.charts)


def calibrated(box: Box, found: DabsFound, light: Light | None, name: str) -> Calibrated:
    """Return the box of those tubes that were painted, as the dabs show them.

    Raises:
        BoxError: no dab. UsageError: no such light.
    """
    painted, dabs = found.painted(box)
    return calibrate(
        [Named.of(box.tubes[number]) for number in painted],
        box.white.name,
        dabs,
        found.known,
        light=light,
        chart=found.chart,
        name=name,
        parts=box.parts,
    )


def flags_of(made: Calibrated) -> tuple[Flag, ...]:
    """Return all that a calibration warns of: tube by tube, then of the photo."""
    return (*(flag for tube in made.box.tubes for flag in tube.flags), *made.flags)


def _by_card(asked: PhotographAsked, path: Path, box: Box) -> DabsFound:
    card = card_for(path, box)
    return found_by_card(read_card([load(photo) for photo in asked.photos], card), card, box)


def _by_hand(asked: PhotographAsked, box: Box) -> DabsFound:
    """Read one photo by what only a painter can say.

    Raises:
        UsageError: something of it is missing.
    """
    if len(asked.photos) != 1:
        raise UsageError("Dabs without a card are read from one photo; give one, or --card.")
    if not asked.dabs:
        raise UsageError(
            'Without --card, name each dab with --dab "X,Y,D=TUBE,PARTS,WHITE_PARTS", and a '
            "grey card with --neutral X,Y,D; a 24-patch chart is found by itself."
        )
    photo = load(asked.photos[0])
    return found_by_hand(photo, asked.dabs, asked.neutral, asked.neutral_lstar, box)
