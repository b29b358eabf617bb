"""A 24-patch chart beside the dabs is found by itself, used, and told of."""

from __future__ import annotations

import functools
import json
from dataclasses import replace

import cv2
import numpy as np
import pytest

from refmatch.cli.json import charts
from refmatch.cli.remedies import REMEDIES
from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.dabs.chart import read_chart
from refmatch.dabs.chart_colours import Greys, correction, neutral_lab
from refmatch.dabs.photographs import PhotographedBox
from refmatch.dabs.spots import known_of_chart
from refmatch.errors import UsageError
from refmatch.paint.box import Box
from refmatch.paint.box_file import built_in_tube
from refmatch.photo.load import load
from refmatch.recipe.mixture import Palette
from tests.refusals import refused
from tests.virtual_studio.boxes import PhotographAsked, photograph_box
from tests.virtual_studio.card_photo import (
    CARD_AT_MM,
    SHOT,
    PaintedCard,
    painted_card,
    photographed,
    setting_of,
)
from tests.virtual_studio.instrument import random_mixes

PIGMENTS = ("PW6", "PY74", "PY43", "PR254", "burnt-sienna", "PB29", "PB15:3", "PBk9")
BOX = Box("orchard", tuple(map(built_in_tube, PIGMENTS)))
LIGHT_LSTAR = 40.0
SMALL = replace(SHOT, width_px=2400, height_px=1800)


@pytest.fixture(scope="module")
def asked_of(tmp_path_factory):
    """Return a painter's card and what is asked of its photo, painted and taken once."""

    @functools.cache
    def once(seed: int, light: str, with_chart: bool = True) -> tuple[PaintedCard, PhotographAsked]:
        painted, folder = painted_card(BOX, seed), tmp_path_factory.mktemp("card")
        asked = photographed(folder, painted, seed, light, with_chart=with_chart, shot=SMALL)
        return painted, asked

    return once


def off(made: PhotographedBox, painted: PaintedCard) -> np.ndarray:
    """Return dE00 of random mixes of the box, the lighter ones."""
    parts = random_mixes(painted.studio, 100, 5)
    true = painted.studio.lab(parts)
    found = Palette.of(made.box.tubes, made.box.surface).lab(parts)
    return delta_e_00(found, true)[true[:, 0] >= LIGHT_LSTAR]


@pytest.mark.parametrize(("seed", "light"), [(202, "D50"), (204, "A")])
def test_card_and_chart_make_a_truer_box_than_the_card_alone(tmp_path, asked_of, seed, light):
    _, without = asked_of(seed, light, with_chart=False)
    painted, beside = asked_of(seed, light)
    alone = photograph_box(without, tmp_path / "a.toml")
    both = photograph_box(beside, tmp_path / "b.toml")
    assert np.median(off(both, painted)) < 0.8 * np.median(off(alone, painted))
    assert "chart_used" in {flag.name for flag in both.flags}
    assert "chart_used" not in {flag.name for flag in alone.flags}
    told = charts(both.charts)
    assert told["found"] is True
    assert told["patches_used"] >= 22
    assert 0.0 < told["residual_delta_e_00"] < 4.0
    none = {"found": False, "patches_used": 0, "residual_delta_e_00": None}
    assert charts(alone.charts) == none
    assert charts([*alone.charts, *both.charts])["photos"][0]["found"] is False
    json.dumps(told, allow_nan=False)


def by_hand(asked, painted: PaintedCard, seed: int, light: str):
    """Name every dab of the card as a painter would without it."""
    matrix = setting_of(seed, light, SMALL).to_photo

    def spot(place) -> str:
        middle = (place.centre_mm + CARD_AT_MM).reshape(1, 1, 2)
        x, y = cv2.perspectiveTransform(middle, matrix)[0, 0]
        return f"{x:.1f},{y:.1f},36"

    dabs = tuple(
        f"{spot(each.place)}={each.tube},{each.parts},{each.white_parts}"
        for each in painted.card.windows
    )
    return replace(asked, card=None, dabs=dabs)


def test_by_hand_a_chart_stands_for_the_grey_card(tmp_path, asked_of):
    seed, light = 202, "D50"
    painted, of_card = asked_of(seed, light)
    asked = by_hand(of_card, painted, seed, light)
    made = photograph_box(asked, tmp_path / "known.toml")
    generic = Palette.of(BOX.tubes)
    parts = random_mixes(painted.studio, 100, 5)
    true = painted.studio.lab(parts)
    before = delta_e_00(generic.lab(parts), true)[true[:, 0] >= LIGHT_LSTAR]
    assert np.median(off(made, painted)) < 0.8 * np.median(before)
    assert made.charts[0].found
    assert "no_neutral" not in {flag.name for flag in made.flags}


def test_by_hand_with_neither_chart_nor_grey_card_both_are_asked_for(tmp_path, asked_of):
    seed, light = 202, "D50"
    painted, plain = asked_of(seed, light, with_chart=False)
    asked = by_hand(plain, painted, seed, light)
    with refused(
        UsageError, match=r"no 24-patch chart.*--neutral X,Y,D, or lay a chart", remedies=REMEDIES
    ):
        photograph_box(asked, tmp_path / "known.toml")
    assert not (tmp_path / "known.toml").exists()


@pytest.mark.parametrize("light", ["D50", "A"])
def test_a_photo_is_corrected_better_by_the_chart_than_by_its_greys(asked_of, light):
    """Judged on the painted dabs, which the correction has never seen."""
    seed = 203
    painted, asked = asked_of(seed, light)
    photo = load(asked.photos[0])
    known = known_of_chart(read_chart(photo))
    whole, greys = correction(known), Greys.of([k for k in known if "patch" in k.label][18:])
    setting, lab = setting_of(seed, light, SMALL), reflectance_to_lab(painted.reflectance)
    seen = []
    for window in painted.card.windows:
        x, y = cv2.perspectiveTransform(
            (window.place.centre_mm + CARD_AT_MM).reshape(1, 1, 2), setting.to_photo
        )[0, 0].astype(int)
        at = window.place.centre_mm + CARD_AT_MM
        chart_light = setting.lamp(setting.made.width_mm / 2.0, setting.made.height_mm / 2.0)
        seen.append(
            photo.linear(y - 12, x - 12, 24, 24).mean(axis=(0, 1)) * chart_light / setting.lamp(*at)
        )
    by_chart = delta_e_00(whole.lab(np.array(seen)), lab)
    by_greys = delta_e_00(neutral_lab(greys, np.array(seen)), lab)
    assert np.median(by_chart) < np.median(by_greys)
