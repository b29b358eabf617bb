"""The string to grey. Its facts of the trade are common practice, no source."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.hues import munsell_value
from refmatch.colorimetry.lab import chroma
from refmatch.paint.box import Box, built_in_tube
from refmatch.recipe.mixture import predict
from refmatch.recipe.neutral import GREY_CSTAR, MOST_PARTS, GreyString, grey_string
from refmatch.say.nudges import complement_words, step_words, string_words
from tests.recipe.boxes import garden_table


def greyed(box: Box, **puddle: float) -> GreyString:
    portions = [(built_in_tube(name.replace("_", "-")), parts) for name, parts in puddle.items()]
    return grey_string(box, portions)


def box_of(*pigments: str) -> Box:
    return Box("few", tuple(built_in_tube(pigment) for pigment in pigments))


PUDDLES = (
    {"ultramarine_blue": 3.0, "titanium_white": 6.0},
    {"pyrrole_red": 6.0, "titanium_white": 1.0},
    {"phthalo_green": 1.0, "titanium_white": 4.0},
    {"titanium_white": 10.0, "yellow_ochre": 2.0, "pyrrole_red": 1.0},
    {"hansa_yellow": 8.0, "titanium_white": 2.0},
    {"quinacridone_magenta": 3.0, "ultramarine_blue": 3.0, "titanium_white": 2.0},
    {"burnt_sienna": 5.0, "yellow_ochre": 2.0, "titanium_white": 2.0},
)


@pytest.mark.parametrize("puddle", PUDDLES, ids=lambda puddle: "-".join(puddle))
def test_chroma_falls_at_each_of_five_steps_and_ends_in_a_grey(puddle: dict[str, float]) -> None:
    string = greyed(garden_table(), **puddle)
    falling = [float(chroma(lab)) for lab in (string.lab, *(step.lab for step in string.steps))]
    assert len(falling) == 6
    assert np.all(np.diff(falling) < 0.0)
    assert falling[-1] <= GREY_CSTAR
    assert string.is_grey


@pytest.mark.parametrize("puddle", PUDDLES, ids=lambda puddle: "-".join(puddle))
def test_a_step_is_what_its_parts_make(puddle: dict[str, float]) -> None:
    """Mixed anew by the model, from whole parts of the puddle and of its complement."""
    box = garden_table()
    string = greyed(box, **puddle)
    tubes = [built_in_tube(name.replace("_", "-")) for name in puddle]
    tubes += [box.tube(name) for name, _ in string.complement]
    whole = sum(puddle.values())
    other = sum(parts for _, parts in string.complement)
    for step in string.steps:
        own = [step.parts * parts / whole for parts in puddle.values()]
        more = [step.complement_parts * parts / other for _, parts in string.complement]
        assert predict(tubes, [*own, *more]) == pytest.approx(step.lab)
        assert step.munsell_value == pytest.approx(float(munsell_value(step.lab)))
        assert 1 <= step.complement_parts < step.parts + step.complement_parts <= MOST_PARTS


@pytest.mark.parametrize(
    ("puddle", "complement"),
    [
        ({"ultramarine_blue": 6.0, "titanium_white": 1.0}, {"burnt umber", "burnt sienna"}),
        ({"ultramarine_blue": 3.0, "titanium_white": 6.0}, {"burnt umber", "burnt sienna"}),
        ({"pyrrole_red": 6.0, "titanium_white": 1.0}, {"phthalo green"}),
        ({"phthalo_green": 1.0, "titanium_white": 4.0}, {"pyrrole red", "quinacridone magenta"}),
        ({"burnt_sienna": 6.0, "titanium_white": 2.0}, {"ultramarine", "cerulean blue"}),
    ],
)
def test_the_complements_that_every_painter_knows(
    puddle: dict[str, float], complement: set[str]
) -> None:
    ((name, _),) = greyed(garden_table(), **puddle).complement
    assert name in complement


def test_a_yellow_is_greyed_by_a_violet_of_two_tubes() -> None:
    box = box_of("titanium-white", "yellow-ochre", "quinacridone-rose", "ultramarine-blue")
    string = greyed(box, titanium_white=8.0, yellow_ochre=4.0)
    assert {name for name, _ in string.complement} == {"quinacridone-rose", "ultramarine-blue"}
    assert "its complement (" in complement_words(string)
    assert complement_words(string) in string_words(string)
    assert "1 part of its complement:" in step_words(string, string.steps[0])


def test_a_strong_complement_is_let_down_and_its_amount_is_no_ratio() -> None:
    box = box_of("titanium-white", "phthalo-blue")
    string = greyed(box, titanium_white=10.0, yellow_ochre=2.0, pyrrole_red=1.0)
    assert string.is_let_down
    words = step_words(string, string.steps[0])
    assert "of phthalo-blue tint (1 phthalo-blue : 9 titanium-white)" in words


def test_value_wanders_and_white_holds_it() -> None:
    """Green is darker than the red it greys (common practice, no source)."""
    string = greyed(garden_table(), pyrrole_red=6.0, titanium_white=1.0)
    last = string.steps[-1]
    assert last.munsell_value < string.munsell_value - 1.0
    assert last.holds == "lighter"
    assert "white holds its value" in step_words(string, last)


def test_a_box_without_a_complement_says_how_far_it_gets() -> None:
    string = greyed(box_of("titanium-white", "hansa-yellow", "cerulean-blue"), pyrrole_red=5.0)
    assert not string.is_grey
    left = round(float(chroma(string.steps[-1].lab)))
    assert f"no nearer to grey than C*\u00a0{left}" in string_words(string)


def test_nothing_opposite_and_nothing_to_grey() -> None:
    alone = greyed(box_of("titanium-white", "hansa-yellow"), hansa_yellow=1.0)
    assert alone.steps == ()
    assert string_words(alone).startswith("No tube here lies opposite")
    grey = greyed(garden_table(), titanium_white=9.0, raw_umber=1.0)
    assert grey.steps == ()
    assert string_words(grey).startswith("This puddle is a grey already")
