"""The neutral that was pointed to lies in the photo and not in the painting: no hole is on it."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from refmatch.paint.box_file import box_to_toml, built_in_box
from refmatch.painting.asked import Asked, AskedHole
from refmatch.painting.reckon import Reckoner
from refmatch.photo.light.balance import AskedLight
from refmatch.photo.load import load

GREY, BROWN, BLUE = (120, 120, 120), (130, 90, 60), (60, 90, 150)


def holes(path: Path, picture: np.ndarray, light: AskedLight) -> tuple[AskedHole, ...]:
    Image.fromarray(picture).save(path)
    asked = Asked("table", box_to_toml(built_in_box()), light=light)
    return Reckoner(load(path)).mass_holes(asked, 3)


def table(*, wall: bool = False, pot: bool = False) -> np.ndarray:
    """Return a brown table and a blue cloth with a grey card, with a grey pot, or a grey wall."""
    picture = np.zeros((600, 900, 3), np.uint8)
    picture[:] = BROWN
    picture[:250] = BLUE
    picture[500:580, 780:880] = GREY
    if pot:
        picture[300:420, 100:260] = GREY
    if wall:
        picture[:, 600:] = GREY
    return picture


POINTED = AskedLight("neutral", x_px=830.0, y_px=540.0, diameter_px=20.0)


def on_card(hole: AskedHole) -> bool:
    return 780 <= hole.x_px <= 880 and 500 <= hole.y_px <= 580


def test_a_card_that_is_all_of_its_mass_gets_no_hole(tmp_path: Path) -> None:
    found = holes(tmp_path / "table.png", table(), POINTED)
    assert len(found) == 2
    assert not any(map(on_card, found))


def test_a_grey_thing_of_the_cards_colour_gets_the_hole(tmp_path: Path) -> None:
    found = holes(tmp_path / "table.png", table(pot=True), POINTED)
    assert len(found) == 3
    assert not any(map(on_card, found))
    assert any(100 <= hole.x_px <= 260 and 300 <= hole.y_px <= 420 for hole in found)


def test_a_wall_that_was_pointed_to_is_painted(tmp_path: Path) -> None:
    assert len(holes(tmp_path / "table.png", table(wall=True), POINTED)) == 3


@pytest.mark.parametrize("method", ["as-shot", "grey-world"])
def test_what_was_not_pointed_to_is_painted(tmp_path: Path, method: str) -> None:
    assert any(map(on_card, holes(tmp_path / "table.png", table(), AskedLight(method))))
