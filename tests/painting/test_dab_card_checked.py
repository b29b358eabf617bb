"""One photo of the painted dab card checks a painting: another painter's tubes, mixed by a hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.dabs.additions import pile_of
from refmatch.errors import CardError
from refmatch.paint.box_file import box_to_toml, built_in_box
from refmatch.painting.check import CheckAsked, check, dab_card_of
from refmatch.painting.model import chosen_recipe
from refmatch.painting.store import create, read_painting
from refmatch.sheet.card_files import make_dab_card
from tests.dabs.studio import Shot
from tests.painting.example import asking, painting, picture
from tests.refusals import refused
from tests.virtual_studio.painted_card import dabs_photo, painted_by_hand

BOX = built_in_box("garden-table")
SEED = 5
SHOT = Shot(width_px=1224, height_px=1632, tilt_deg=12.0)
WORST = 16.3
"""Squared standard errors that chance in three dimensions passes once in a thousand (chi2)."""


def of_their_recipes():
    """Return pears whose targets are just what their recipes make, as the box has it."""
    pears = painting(3)
    targets = tuple(
        replace(target, lab=pile_of(BOX, parts).lab)
        for target, parts in zip(pears.targets, recipes(pears), strict=True)
    )
    return asking(replace(pears, targets=targets), box=box_to_toml(BOX))


def recipes(pears):
    found = (chosen_recipe(pears, index) for index in range(len(pears.targets)))
    return [[(each.tube, each.parts) for each in recipe.portions] for recipe in found]


@pytest.fixture(scope="module")
def checked(tmp_path_factory):
    """Two of three dabs are painted, on the card that was printed; the third window is empty."""
    folder = tmp_path_factory.mktemp("pears")
    (folder / "pears.png").write_bytes(picture())
    pears = of_their_recipes()
    create(folder / "pears", folder / "pears.png", pears, {})
    make_dab_card(folder / "pears", folder / "card.pdf")
    card = dab_card_of(folder / "pears")
    labels = [target.label for target in pears.targets]
    piles = dict(zip(labels[:2], recipes(pears), strict=False))
    photo = folder / "dabs.jpg"
    photo.write_bytes(dabs_photo(BOX, card, piles, SEED, shot=SHOT))
    found = check(CheckAsked(photo, painting=folder / "pears"))
    true = reflectance_to_lab(painted_by_hand(BOX, list(piles.values()), SEED))
    return folder / "pears", found, dict(zip(piles, true, strict=True))


def test_every_painted_dab_is_judged_and_put_on_record(checked):
    folder, found, true = checked
    assert [each.job.label for each in found.found] == list(true)
    assert [each.target for each in read_painting(folder).rounds] == list(true)
    assert "windows_empty" in {flag.name for flag in found.flags}


def test_it_is_what_was_painted_within_what_is_said_to_be_in_doubt(checked):
    _, found, true = checked
    for each in found.found:
        off = each.lab - true[each.job.label]
        assert off @ np.linalg.solve(each.covariance, off) < WORST
        assert delta_e_00(each.lab, true[each.job.label]) < 8.0


def test_a_dab_that_is_not_there_is_asked_for(checked):
    folder = checked[0]
    photo = folder.parent / "dabs.jpg"
    with refused(CardError, match="'pear, shadow' is empty"):
        check(CheckAsked(photo, painting=folder, target_label="pear, shadow"))
