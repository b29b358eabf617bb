"""From the printed card and a phone's photo of it to a box that knows the tubes.

The whole road in the virtual studio: another painter's tubes, let down by a 5 % hand, seen by
a spectral camera with a tone curve, tilted, unevenly lit, saved as JPEG.
"""

from __future__ import annotations

import functools
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pytest
from PIL import Image

from refmatch.colorimetry.lab import delta_e_00
from refmatch.dabs.box_card import card_to_json, compose
from refmatch.errors import CardError, UsageError
from refmatch.paint.box import Box, built_in_tube
from refmatch.paint.box_file import read_box, write_box
from refmatch.recipe.mixture import Palette
from tests.dabs import studio as card_studio
from tests.refusals import refused
from tests.virtual_studio.boxes import PhotographAsked, photograph_box
from tests.virtual_studio.camera import camera_of
from tests.virtual_studio.card_photo import painted_card
from tests.virtual_studio.instrument import random_mixes
from tests.virtual_studio.paints import Studio

PIGMENTS = ("PW6", "PY74", "PY43", "PR254", "burnt-sienna", "PB29", "PB15:3", "PBk9")
BOX = Box("orchard", tuple(map(built_in_tube, PIGMENTS)))
LIGHT_LSTAR = 40.0
SHOT = card_studio.Shot(
    width_px=1632, height_px=2176, tilt_deg=20.0, tilt_axis_deg=30.0, turn_deg=4.0
)


@pytest.fixture(scope="module")
def photographed(tmp_path_factory):
    """Return what is asked and the truth of a painter's card, photographed once for all tests."""

    @functools.cache
    def once(seed: int = 201, light: str = "D50") -> tuple[PhotographAsked, Studio]:
        with pytest.MonkeyPatch.context() as patched:
            return _photographed(tmp_path_factory.mktemp("card"), seed, light, patched)

    return once


def _photographed(
    folder: Path, seed: int, light: str, monkeypatch: pytest.MonkeyPatch
) -> tuple[PhotographAsked, Studio]:
    """Paint the card, photograph it, and return what is asked and the truth."""
    painted = painted_card(BOX, seed)
    studio, card, truth = painted.studio, painted.card, painted.reflectance
    camera = camera_of(light, seed)
    white = camera.weights.sum(axis=0)  # paper, ink and card are grey, and seen as the camera does
    seen = dict(zip(card.windows, truth @ camera.weights / white, strict=True))
    monkeypatch.setattr(card_studio, "truths", lambda _: seen)
    monkeypatch.setattr(card_studio, "encoded", camera.codes)
    photos = []
    for page in range(1, card.pages + 1):
        matrix = card_studio.to_photo(SHOT, card)
        drawn = card_studio.drawn(card, page) * white.astype(np.float32)
        codes = card_studio.exposed(drawn, card, matrix, SHOT, card_studio.lamp)
        photos.append(folder / f"page-{page}.jpg")
        Image.fromarray(codes).save(photos[-1], quality=92)
    (folder / "card.json").write_text(card_to_json(card))
    write_box(folder / "start.toml", BOX)
    asked = PhotographAsked(tuple(photos), folder / "start.toml", folder / "card.json")
    return asked, studio


@pytest.mark.parametrize(("seed", "light"), [(201, "D50"), (202, "LED-B3")])
def test_a_box_from_one_photo_is_nearer_to_the_tubes_than_generic_curves(
    tmp_path, photographed, seed, light
):
    """The yardstick for lighter mixes is 2.2 median; here two painters only, so a wide margin."""
    asked, studio = photographed(seed, light)
    made = photograph_box(asked, tmp_path / "known.toml")
    parts = random_mixes(studio, 80, seed)
    true = studio.lab(parts)
    own = delta_e_00(Palette.of(made.box.tubes, made.box.surface).lab(parts), true)
    generic = delta_e_00(Palette.of(BOX.tubes).lab(parts), true)
    lighter = true[:, 0] >= LIGHT_LSTAR
    assert np.median(own[lighter]) < 3.0
    assert np.median(own) < np.median(generic)
    again = read_box(tmp_path / "known.toml")
    assert {tube.source for tube in again.tubes} == {"photographed"}
    assert np.allclose(again.tubes[1].absorption, made.box.tubes[1].absorption, rtol=1e-9)


def test_a_card_of_another_box_is_told(tmp_path, photographed):
    asked, _ = photographed()
    write_box(tmp_path / "other.toml", Box("other", BOX.tubes[:4]))
    with refused(CardError, match="made for other tubes"):
        photograph_box(replace(asked, box=tmp_path / "other.toml"), tmp_path / "known.toml")
    assert not (tmp_path / "known.toml").exists()


def test_without_a_card_the_dabs_are_named_one_by_one(tmp_path, photographed):
    asked, studio = photographed()
    card = compose(BOX)
    to_photo = card_studio.to_photo(SHOT, card)

    def spot(place, suffix: str) -> str:
        middle = np.array([[[place.x_mm + place.width_mm / 2, place.y_mm + place.height_mm / 2]]])
        x, y = cv2.perspectiveTransform(middle, to_photo)[0, 0]
        return f"{x:.1f},{y:.1f},40{suffix}"

    dabs = tuple(
        spot(each.place, f"={each.tube},{each.parts},{each.white_parts}")
        for each in card.windows
        if not each.other  # two tubes cannot be said by pointing
    )
    by_hand = PhotographAsked(
        asked.photos, asked.box, dabs=dabs, neutral=spot(card.grey_on(1).place, "")
    )
    made = photograph_box(by_hand, tmp_path / "known.toml")
    parts = random_mixes(studio, 80, 201)
    own = delta_e_00(Palette.of(made.box.tubes).lab(parts), studio.lab(parts))
    generic = delta_e_00(Palette.of(BOX.tubes).lab(parts), studio.lab(parts))
    assert np.median(own) < 0.95 * np.median(generic)


@pytest.mark.parametrize(
    "dab", ["10,10=PB29", "10,10=PB29,0,1", "10,10=PB29,1,-1", "10,10=PB29,one,9", "PB29,1,9"]
)
def test_a_dab_written_otherwise_is_told(tmp_path, photographed, dab):
    asked, _ = photographed()
    wrong = PhotographAsked(asked.photos, asked.box, dabs=(dab,), neutral="100,100,20")
    with refused(UsageError, match=r"dab|place"):
        photograph_box(wrong, tmp_path / "known.toml")


def test_without_card_or_dabs_they_are_asked_for(tmp_path):
    with refused(UsageError, match="name each dab"):
        photograph_box(PhotographAsked((tmp_path / "a.jpg",)), tmp_path / "known.toml")
