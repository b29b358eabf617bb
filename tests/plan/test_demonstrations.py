"""Demonstrations for a class. Their facts of the trade are common practice, no source."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from refmatch.colorimetry.lab import chroma, hue_deg, reflectance_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.errors import BoxError, UsageError
from refmatch.paint.box import Box, built_in_tube
from refmatch.plan.demonstrations import DEMONSTRATIONS, Demonstration, demonstrate, usual_colour
from refmatch.plan.strips import FAR_VALUE, Strip, StripStep
from refmatch.recipe.mixture import predict
from refmatch.recipe.moves import CHALKY, FLAT, GREEN, PRICE, spoilt
from tests.recipe.boxes import garden_table

OILS = Path(__file__).parents[1] / "data" / "oils.csv"
"""Reflectance of hand-ground oil paints: Geldof et al. 2018, Heritage Science 6:17, CC0."""

CADMIUMS = (
    *("titanium-white", "cadmium-yellow", "cadmium-orange", "cadmium-red-light"),
    *("alizarin-crimson", "ultramarine-blue", "phthalo-blue", "viridian", "burnt-sienna"),
    *("yellow-ochre", "ivory-black"),
)


def box_of(*pigments: str) -> Box:
    return Box("few", tuple(built_in_tube(pigment) for pigment in pigments))


def shown(name: str, *portions: str, box: Box | None = None) -> Demonstration:
    (one,) = demonstrate(portions, box, [name]).demonstrations
    return one


def strip_by(one: Demonstration, role: str) -> Strip:
    (found,) = [strip for strip in one.strips if strip.added.role == role]
    return found


def last(strip: Strip) -> StripStep:
    return strip.steps[-1]


def names(strip: Strip, paint: int = 1) -> set[str]:
    return {tube.name for tube, _ in strip.paints[paint].portions}


def mixed(strip: Strip, step: StripStep, box: Box) -> Array:
    """Mix a step by the tube, from the words of the sheet alone."""
    parts: dict[str, float] = {}
    for count, paint in zip(step.parts, strip.paints, strict=True):
        whole = sum(amount for _, amount in paint.portions)
        for tube, amount in paint.portions:
            parts[tube.name] = parts.get(tube.name, 0.0) + count * amount / whole
    tubes = [box.tube(name) for name in parts]
    return predict(tubes, list(parts.values()), box.surface)


BOXES = {"garden table": garden_table(), "cadmiums": box_of(*CADMIUMS)}


@pytest.mark.parametrize("box", BOXES.values(), ids=BOXES)
def test_every_step_is_the_colour_of_its_parts(box: Box) -> None:
    steps = [
        (strip, step)
        for one in demonstrate((), box).demonstrations
        for strip in one.strips
        for step in strip.steps
    ]
    assert len(steps) > 30
    for strip, step in steps:
        np.testing.assert_allclose(step.lab, mixed(strip, step, box), atol=1e-6)


@pytest.mark.parametrize("box", BOXES.values(), ids=BOXES)
def test_strips_of_one_demonstration_stand_at_the_same_values(box: Box) -> None:
    for name in ("lightened", "darkened", "chalky-and-flat"):
        usual, *others = shown(name, box=box).strips
        for other in others:
            for step in other.steps:
                beside = usual.at(step.place)
                if beside is not None:
                    assert abs(step.munsell_value - beside.munsell_value) <= 2.0 * FAR_VALUE


def test_burnt_umber_greys_ultramarine_and_more_of_it_leads_past_the_grey() -> None:
    (strip,) = shown("greyed", "ultramarine=1", "titanium white=1").strips
    assert names(strip) == {"burnt umber"}
    falling = [float(chroma(step.lab)) for step in strip.steps]
    neutral = int(np.argmin(falling))
    assert falling[neutral] < 6.0
    assert falling[: neutral + 1] == sorted(falling[: neutral + 1], reverse=True)
    assert len(strip.steps) - neutral >= 3
    assert 45.0 < hue_deg(last(strip).lab) < 90.0  # a brown
    assert 240.0 < hue_deg(strip.steps[0].lab) < 320.0  # a blue


def test_white_turns_red_chalky_and_cold_where_yellow_keeps_it_warm() -> None:
    one = shown("lightened", "pyrrole red=1")
    white, yellow = strip_by(one, "white"), strip_by(one, "light yellow")
    assert all(CHALKY in step.effects for step in white.steps[1:])
    assert not any(CHALKY in step.effects for step in yellow.steps)
    beside = white.at(last(yellow).place)
    assert beside is not None
    assert chroma(last(yellow).lab) > 2.0 * chroma(beside.lab)
    assert hue_deg(beside.lab) < hue_deg(white.steps[0].lab) < hue_deg(last(yellow).lab)


def test_a_flesh_tint_is_white_with_a_little_ochre_and_red() -> None:
    flesh = strip_by(shown("lightened", "pyrrole red=1"), "flesh tint").added.portions
    assert [tube.name for tube, _ in flesh] == ["titanium white", "yellow ochre", "pyrrole red"]
    white, ochre, red = (parts for _, parts in flesh)
    assert white > 5.0 * ochre > 5.0 * red


def test_black_turns_yellow_to_olive_and_red_flat() -> None:
    yellow = strip_by(shown("darkened", "hansa yellow=1"), "black")
    assert any(GREEN in step.effects for step in yellow.steps)
    red = strip_by(shown("darkened", "pyrrole red=1"), "black")
    assert all(FLAT in step.effects for step in red.steps[1:])


def test_a_dark_blue_leaves_red_more_colour_than_black_does() -> None:
    one = shown("darkened", "pyrrole red=1")
    black, blue = strip_by(one, "black"), strip_by(one, "dark blue")
    assert names(blue) == {"ultramarine"}
    assert chroma(last(blue).lab) > chroma(last(black).lab)


def test_a_greenish_blue_with_orange_goes_green_and_ultramarine_with_brown_does_not() -> None:
    one = shown("green-or-grey", box=BOXES["cadmiums"])
    orange, brown = strip_by(one, "orange"), strip_by(one, "brown")
    assert names(orange) == {"cadmium-orange"}
    assert names(orange, 0) == {"phthalo-blue", "titanium-white"}
    assert names(brown) == {"burnt-sienna"}
    assert names(brown, 0) == {"ultramarine-blue", "titanium-white"}


@pytest.mark.parametrize("box", BOXES.values(), ids=BOXES)
def test_the_strips_of_a_blue_bear_out_their_claim(box: Box) -> None:
    one = shown("green-or-grey", box=box)
    for role, goes_green in (("orange", True), ("brown", False)):
        labs = np.array([step.lab for step in strip_by(one, role).steps])
        green = (hue_deg(labs) > 100.0) & (hue_deg(labs) < 200.0) & (chroma(labs) >= 6.0)
        assert bool(green.any()) is goes_green


def test_ultramarine_with_its_orange_alone_is_not_said_to_go_green() -> None:
    """With cadmium orange it goes to a violet grey: no false strip is printed."""
    one = shown("green-or-grey", box=box_of(*(set(CADMIUMS) - {"phthalo-blue"})))
    assert one.strips == ()
    assert [flag.name for flag in one.flags] == ["no_blue_goes_green"]


@pytest.mark.parametrize(
    ("without", "name", "role"),
    [
        ("ultramarine", "darkened", "dark blue"),
        ("ivory black", "darkened", "black"),
        ("hansa yellow", "lightened", "light yellow"),
        ("yellow ochre", "lightened", "flesh tint"),
    ],
)
def test_a_part_that_no_tube_plays_is_told(without: str, name: str, role: str) -> None:
    box = garden_table().without([without, *(["phthalo blue"] if role == "dark blue" else [])])
    one = shown(name, "pyrrole red=1", box=box)
    assert one.strips
    assert role not in [strip.added.role for strip in one.strips]
    assert ("box_lacks", role) in [(f.name, f.values.get("role")) for f in one.flags]


def test_a_colour_at_the_end_of_its_way_is_not_shown() -> None:
    assert shown("lightened", "hansa yellow=1").strips == ()
    assert shown("darkened", "ultramarine=1").strips == ()
    assert shown("greyed", "ultramarine=3", "titanium white=3", "burnt umber=4").strips == ()


def test_chalky_lights_and_flat_darks_stand_on_either_side_of_the_colour() -> None:
    usual, truer = shown("chalky-and-flat", "pyrrole red=1").strips
    places = [step.place for step in usual.steps]
    assert places == sorted(places)
    for step in usual.steps:
        assert step.effects == ((CHALKY,) if step.place < 0 else (FLAT,) if step.place else ())
    assert not any({CHALKY, FLAT} & set(step.effects) for step in truer.steps)


def test_where_only_a_dark_is_truer_white_lightens_both_strips() -> None:
    """More ultramarine darkens its tint truer than black does; only white lightens it."""
    usual, truer = shown("chalky-and-flat", "ultramarine=1", "titanium white=1").strips
    assert names(usual, 1) == names(truer, 1) == {"titanium white"}
    assert (names(usual, 2), names(truer, 2)) == ({"ivory black"}, {"ultramarine"})
    assert chroma(last(truer).lab) > 4.0 * chroma(last(usual).lab)


def test_the_colour_to_show_it_on_has_room_both_ways() -> None:
    assert usual_colour(garden_table()).name == "pyrrole red"
    with pytest.raises(BoxError, match="box_without_a_hue"):
        demonstrate((), box_of("titanium-white", "ivory-black"))


def test_an_unknown_demonstration_is_refused() -> None:
    with pytest.raises(UsageError, match="no_such_demonstration"):
        demonstrate((), None, ["glazed"])


@pytest.mark.parametrize("box", [*BOXES.values(), box_of("PW6", "PB29")], ids=[*BOXES, "two"])
def test_each_demonstration_is_shown_or_says_why_not(box: Box) -> None:
    for tube in box.tubes[::4]:
        of = demonstrate([f"{tube.name}=1"], box)
        assert [one.name for one in of.demonstrations] == list(DEMONSTRATIONS)
        assert all(one.strips or one.flags for one in of.demonstrations)


def measured(sample: str) -> Array:
    """Return a measured film's Lab without the shine of its skin, 4 % of the light (Fresnel)."""
    with OILS.open(newline="") as file:
        row = next(
            r for r in csv.DictReader(file) if (r["sample"], r["ground"]) == (sample, "white")
        )
    lab: Array = reflectance_to_lab(
        np.array([float(row[str(nm)]) for nm in range(400, 701, 10)]) - 0.04
    )
    return lab


@pytest.mark.parametrize("paint", ["05", "06", "10", "14"], ids=["PR105", "PR106", "PG21", "PY34"])
def test_real_oils_in_zinc_white_are_called_chalky(paint: str) -> None:
    """Bright opaque paints, a tenth of each in zinc white."""
    assert spoilt(measured(f"{paint}B"), measured(f"{paint}A"), coloured=False, price=PRICE) == (
        CHALKY,
    )


@pytest.mark.parametrize("paint", ["06", "10", "12"], ids=["PR106", "PG21", "PB28"])
def test_real_oils_with_bone_black_are_called_flat(paint: str) -> None:
    assert spoilt(measured(f"{paint}D"), measured(f"{paint}A"), coloured=False, price=PRICE) == (
        FLAT,
    )
