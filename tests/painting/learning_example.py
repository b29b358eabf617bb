"""A painting whose dabs were photographed in the virtual studio: its colours are made up."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np

from refmatch.dabs.beside import GREY, PAINT, PATCH, Beside
from refmatch.dabs.learn import Evidence
from refmatch.dabs.spot import Known, PhotoDab
from refmatch.paint.box_file import box_to_toml
from refmatch.painting.model import Look, Painting, SavedFile
from refmatch.painting.own_box import tubes_on_table
from refmatch.painting.record import pile_now, with_round
from refmatch.recipe.doubt import generic_flags
from refmatch.recipe.mixture import Palette
from refmatch.recipe.together import mixed
from refmatch.target import Target
from tests.painting import example, rounds_example
from tests.virtual_studio.piles import CHART, Table, pile_photo, random_piles, table_of

SEED, COUNT = 913, 7


def a_table() -> Table:
    return table_of(SEED)


def planned(table: Table, count: int = COUNT) -> Painting:
    """Return a painting of so many targets, planned with generic curves of five tubes."""
    palette = Palette.of(table.box.tubes, table.box.surface)
    labs = palette.lab(random_piles(SEED, count))
    plain = example.painting(count)
    targets = tuple(
        Target(each.label, lab, each.x_px, each.y_px, each.diameter_px)
        for each, lab in zip(plain.targets, labs, strict=True)
    )
    answers = mixed(targets, table.box)
    return replace(
        plain,
        targets=targets,
        recipes=answers,
        flags=generic_flags(table.box.tubes),
        asked=replace(plain.asked, box=box_to_toml(table.box)),
        table=tubes_on_table(table.box),
    )


def looked_at(
    painting: Painting, table: Table, place: int, *, way: str = CHART, wrong: str = "", **said: str
) -> Painting:
    """Mix the recipe of a target, photograph it, and put that into the record."""
    names = [tube.name for tube in table.box.tubes]
    target, parts = painting.targets[place], np.zeros(len(names))
    for name, share in pile_now(painting, target.label).parts:
        parts[names.index(name)] = share
    number = len(painting.looks) + 1
    photo = pile_photo(table, way, parts, 10 * SEED + number, wrong=wrong)
    look = replace(_look(number, photo, names), **said)
    spot = photo.dabs[0].spot
    return with_round(
        painting, look, replace(rounds_example.round_of(painting, place, look), spot=spot)
    )


def kept(folder: Path, painting: Painting) -> Path:
    return rounds_example.keep(folder, painting)


def _look(number: int, photo: Evidence, names: list[str]) -> Look:
    beside = [_known(place, each) for place, each in enumerate(photo.known)]
    beside += [_paint(each, names) for each in photo.dabs[1:]]
    digest = f"{number:064x}"
    mark = SavedFile(f"checks/{digest[:16]}.jpg", digest)
    return Look(mark, "2026-11-28", "", "wet", "chart", tuple(beside))


def _known(place: int, each: Known) -> Beside:
    if place == 0:
        return Beside(GREY, each.spot, lab=np.array([50.0, 0.0, 0.0]))
    at = ((place - 1) % 6 - 2.5) / 3.0, ((place - 1) // 6 - 1.5) / 3.0
    return Beside(PATCH, each.spot, number=place, at=at)


def _paint(each: PhotoDab, names: list[str]) -> Beside:
    return Beside(PAINT, each.spot, parts=((names[each.tubes[0]], 1.0),))
