"""The page of layers, and what slips and the easel say of them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from refmatch.painting.model import Painting
from refmatch.plan.layers import Brushed, PaintLayer
from refmatch.say.layers import ground_words
from refmatch.sheet.compose import Wanted, compose
from refmatch.sheet.formats import FORMATS
from refmatch.sheet.text import write
from tests.painting import example


def brushed(target: int, label: str, medium: str, share: float) -> Brushed:
    return Brushed(target, label, medium, share, 0.5, (1.6, 4.3))


@pytest.fixture
def painting() -> Painting:
    """Two layers: the wall below, all else in the finish, alkyd in one puddle."""
    whole = example.painting()
    labels = [target.label for target in whole.targets]
    lower = PaintLayer(
        "underpainting", 30.0, (brushed(7, labels[7], "solvent", 0.4),), 0.3, (1.0, 2.4), labels[7]
    )
    rest = tuple(
        brushed(place, labels[place], "alkyd" if place == 0 else "stand-oil", 0.1)
        for place in range(7)
    )
    upper = PaintLayer("finish", 100.0, rest, 0.55, (1.6, 4.3), labels[1])
    asked = replace(whole.asked, ground="toned")
    return replace(whole, layers=(lower, upper), asked=asked)


def test_layers_stand_from_the_canvas_up_with_the_wait_between(painting: Painting) -> None:
    shown = compose(painting, example.pictures()).layers
    assert shown is not None
    assert [line.name for line in shown.lines] == ["Underpainting", "Finish"]
    assert [len(line.puddles) for line in shown.lines] == [1, 7]
    assert shown.lines[0].wait == ""
    assert "1–3\u00a0days" in shown.lines[1].wait
    assert shown.whole == "Both layers are dry to the touch in 3–7\u00a0days."


def test_care_is_told_for_the_mediums_used(painting: Painting) -> None:
    """Solvents, oily rags and driers, and that labels and local rules come first."""
    shown = compose(painting, example.pictures()).layers
    assert shown is not None
    words = " ".join(shown.cares)
    for what in ("Solvents", "catch fire by themselves", "driers", "label", "local rules"):
        assert what in words
    only = replace(painting, layers=painting.layers[:1])
    told = compose(only, example.pictures()).layers
    assert told is not None
    assert "Rags" not in " ".join(told.cares)


def test_slips_say_their_layer_and_medium(painting: Painting) -> None:
    slips = {slip.number: slip for slip in compose(painting, example.pictures()).slips}
    assert slips[1].layer.startswith("Finish, with alkyd medium, 1 part to 9 of paint;")
    assert slips[8].layer.startswith("Underpainting, with solvent, 2 parts to 3 of paint;")


def test_the_easel_works_the_lower_layer_first(painting: Painting) -> None:
    content = compose(painting, example.pictures())
    assert content.easel[0].numbers == (8,)
    assert [line.remark for line in content.easel] == ["underpainting", *["finish"] * 7]
    assert "layer by layer" in content.easel_words


def test_without_layers_nothing_is_said_of_them() -> None:
    content = compose(example.painting(), example.pictures())
    assert content.layers is None
    assert {slip.layer for slip in content.slips} == {""}
    assert {line.remark for line in content.easel} == {""}
    assert "layer" not in write(content).lower()


@pytest.mark.parametrize("form", FORMATS)
@pytest.mark.parametrize("slips", ["full", "compact"])
def test_every_form_takes_them(painting: Painting, form: str, slips: str) -> None:
    content = compose(painting, example.pictures(), Wanted(slips=slips))
    assert len(FORMATS[form](content, "a4")) > 1000


def test_the_text_tells_all_that_the_page_does(painting: Painting) -> None:
    content = compose(painting, example.pictures())
    written = " ".join(write(content).split())
    assert content.layers is not None
    assert content.layers.ground is not None
    for line in content.layers.lines:
        for words in (line.wait, line.words, *(puddle.words for puddle in line.puddles)):
            assert words.replace("\u00a0", " ") in written
    assert content.layers.ground.words in written


def test_a_ground_makes_darks_darker_and_lights_lighter() -> None:
    """Simultaneous contrast of lightness: away from the surround (Chevreul 1839)."""
    targets = [(1, np.array([30.0, 0.0, 0.0])), (2, np.array([90.0, 0.0, 0.0]))]
    toned = ground_words("toned", (62.0, 7.0, 19.0), targets)
    assert "1 will look darker than mixed" in toned
    assert "2 will look lighter than mixed" in toned
    white = ground_words("white", (97.0, 0.0, 0.0), targets)
    assert "1 will look darker than mixed" in white
    assert "lighter than mixed" not in white
