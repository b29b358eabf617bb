"""What is said on sheets: care, and the light."""

from __future__ import annotations

from dataclasses import replace

import pytest

from refmatch.paint.box import Box, built_in_tube
from refmatch.painting.own_box import tubes_on_table
from refmatch.photo.light import estimate
from refmatch.photo.light.balance import AskedLight, as_shot
from refmatch.photo.load import load
from refmatch.say.sheet import GENERAL, HANDLING, cautions, light_line
from tests.painting import example


@pytest.mark.parametrize(
    ("pigment", "metal"),
    [
        ("cadmium-red-light", "Cadmium"),
        ("cobalt-blue", "Cobalt"),
        ("lead-white", "Lead"),
        ("burnt-umber", "Manganese"),
    ],
)
def test_harmful_metals_are_named_with_their_handling(pigment, metal):
    """Facts of the trade, labelled by ASTM D4236: common practice, no source."""
    tube = built_in_tube(pigment, "my tube")
    told = " ".join(cautions(tubes_on_table(Box("one", (tube,)))))
    assert metal in told
    assert "my tube" in told
    assert HANDLING in told


def test_harmless_tubes_are_not_slandered():
    told = cautions(tubes_on_table(Box("one", (built_in_tube("yellow-ochre"),))))
    assert told == GENERAL


def test_what_holds_for_all_is_always_said():
    told = " ".join(cautions(()))
    for words in ("Oily rags", "under water", "fresh air", "own label and local rules come first"):
        assert words in told


def test_tubes_of_one_metal_share_a_sentence():
    tubes = [
        replace(tube, cautions=("cobalt",), name=name)
        for tube, name in zip(example.table(), ("first blue", "second blue"), strict=False)
    ]
    assert cautions(tubes)[0].startswith("Cobalt in first blue and second blue.")


def test_an_unknown_caution_is_printed_as_it_stands():
    tube = replace(example.table()[0], cautions=("sticks to cats",))
    assert "Titanium white: sticks to cats." in cautions([tube])


@pytest.mark.parametrize(
    ("kelvin", "keep", "says"),
    [
        (3200.0, 0.0, "light warm, about 3200 K, taken out"),
        (3200.0, 20.0, "light warm, about 3200 K, taken out; a fifth of it kept"),
        (3200.0, 37.0, "light warm, about 3200 K, taken out; 37 % of it kept"),
        (3200.0, 100.0, "light warm, about 3200 K, left as it is"),
        (5000.0, 0.0, "no cast to speak of in the light"),
    ],
)
def test_the_light_is_told_as_it_was_treated(tmp_path, kelvin, keep, says):
    """The words come from the balance itself, so that the two cannot drift apart."""
    asked = AskedLight("temperature", kelvin=kelvin, keep_light=keep)
    path = tmp_path / "pears.png"
    path.write_bytes(example.picture(90, 60))
    assert light_line(estimate(load(path), asked)) == says


def test_a_photo_left_alone_is_told_so():
    assert light_line(as_shot()) == "light as shot, nothing removed"
