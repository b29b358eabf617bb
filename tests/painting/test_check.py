"""A dab in a real file against its target, in the virtual studio, in each of the three ways."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from refmatch.cli.remedies import REMEDIES
from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.dabs.spots import Places, Reference
from refmatch.dabs.verdict import OFF, WITHIN
from refmatch.errors import BoxError, HoleError, UsageError
from refmatch.paint.box_file import built_in_box, write_box
from refmatch.painting.check import CheckAsked, check
from refmatch.photo.place import parse_place
from refmatch.recipe.doubt import uncertainty
from tests.benchmarks.box_from_photo import joint
from tests.refusals import refused
from tests.virtual_studio.camera import camera_of, grey
from tests.virtual_studio.scene import scene_of
from tests.virtual_studio.table_photo import photographed_on_table

LIGHT = "LED-B3"
RECIPE = {"titanium white": 6.0, "yellow ochre": 3.0, "burnt sienna": 1.0}
TOO_MUCH = {"titanium white": 6.0, "yellow ochre": 3.0, "burnt sienna": 2.0}
NEAR = {"titanium white": 6.0, "yellow ochre": 3.0, "burnt sienna": 1.3}
"""What was meant, what an absent mind has laid out, and an earlier dab, two dE00 off."""


def said(recipe):
    return tuple(recipe.items())


def at(dab, neutral=None, lstar=49.5, **more):
    """Return places, each "X,Y,DIAMETER"."""
    known = {name: parse_place(place) for name, place in more.items()}
    return Places(parse_place(dab), neutral and parse_place(neutral), lstar, **known)


def row(recipe, tubes):
    return np.array([recipe.get(tube.name, 0.0) for tube in tubes])


@pytest.fixture(scope="module")
def table(tmp_path_factory):
    """One painter's box, learnt from a photo, and a photo of two dabs by the same phone."""
    folder = tmp_path_factory.mktemp("check")
    scene = scene_of(931, LIGHT)
    box = joint(scene)
    write_box(folder / "box.toml", box)
    tubes = scene.studio.tubes
    names = [tube.name for tube in tubes]
    paint = {
        name: scene.studio.reflectance(row({name: 1.0}, tubes)[None])[0]
        for name in ("titanium white", "ivory black")
    }
    right = scene.studio.reflectance(row(RECIPE, tubes)[None])[0]
    wrong = scene.studio.reflectance(row(TOO_MUCH, tubes)[None])[0]
    near = scene.studio.reflectance(row(NEAR, tubes)[None])[0]
    other = scene.studio.reflectance(
        row({"titanium white": 5, "pyrrole red": 1, "ultramarine": 1}, tubes)[None]
    )[0]
    surfaces = {
        "right": right,
        "wrong": wrong,
        "grey": grey(50.0),
        "white": paint["titanium white"],
        "black": paint["ivory black"],
        "near": near,
        "other": other,
    }
    places = photographed_on_table(folder / "dabs.jpg", surfaces, camera_of(LIGHT, 931), 5)
    lab = {name: reflectance_to_lab(each) for name, each in surfaces.items()}
    assert set(RECIPE) <= set(names)
    return folder, places, lab


def asked(table, dab, recipe=RECIPE, **more):
    folder, places, lab = table
    return CheckAsked(
        photo=folder / "dabs.jpg",
        places=at(places[dab], places["grey"], 50.0, white=places["white"], black=places["black"]),
        target_lab=lab["right"],
        recipe=said(recipe),
        box=folder / "box.toml",
        light="same",
        **more,
    )


def test_a_pile_is_found_where_it_is(table):
    """Doubts are tested by the benchmark; here that no road leads astray by far."""
    for dab, recipe in (("right", RECIPE), ("wrong", RECIPE), ("wrong", TOO_MUCH)):
        found = check(asked(table, dab, recipe)).found[0]
        off = delta_e_00(found.lab, table[2][dab])
        assert off < 1.5 * uncertainty(found.lab, found.covariance)[1]
        alone = delta_e_00(found.measured_lab, table[2][dab])
        assert alone < 1.5 * uncertainty(found.measured_lab, found.measured_covariance)[1]


def test_an_absent_mind_is_told_what_is_wrong_and_how_to_mend_it(table):
    """Too much burnt sienna darkens and reddens an ochre tint (common practice, no source)."""
    found = check(asked(table, "wrong", TOO_MUCH))
    only = found.found[0]
    assert found.way == "grey card and paint"
    assert only.verdict.name == OFF
    assert "too dark" in only.verdict.words
    assert only.delta_lstar < -3.0
    best = only.advice.corrections[0]
    assert best.predicted_delta_e_00 < only.advice.delta_e_00 / 2.0
    assert any("white" in addition.ingredient.name for addition in best.additions)


def test_photo_and_recipe_together_are_surer_than_either(table):
    found = check(asked(table, "right")).found[0]
    alone = uncertainty(found.measured_lab, found.measured_covariance)[0]
    assert uncertainty(found.lab, found.covariance)[0] < alone


def test_a_pile_on_its_target_is_left_alone(table):
    """Judged against what it is believed to be: nothing is advised."""
    first = check(asked(table, "right")).found[0]
    again = check(replace(asked(table, "right"), target_lab=first.lab)).found[0]
    assert again.verdict.name == WITHIN
    assert again.advice.corrections == ()
    assert again.advice.words.startswith("Leave it")


@pytest.mark.parametrize("recipe", [NEAR, {}], ids=["same pigments", "no recipe told"])
def test_side_by_side_camera_and_light_cancel(table, recipe):
    """An earlier dab beside it is known: reference + difference, and no grey card."""
    _, places, lab = table
    found = check(
        replace(
            asked(table, "right"),
            light=None,
            places=at(places["right"], reference=places["near"]),
            reference=Reference(lab["near"], said(recipe)),
        )
    )
    assert found.way == "side by side"
    names = {flag.name for flag in found.flags}
    assert ("metameric_reference" in names) == (not recipe)
    apart = delta_e_00(lab["near"], lab["right"])
    assert delta_e_00(found.found[0].measured_lab, lab["right"]) < 0.75 * apart
    if recipe:
        assert delta_e_00(found.found[0].lab, lab["right"]) < 0.5 * apart


def test_a_reference_of_other_pigments_is_flagged(table):
    _, places, lab = table
    found = check(
        replace(
            asked(table, "right"),
            light=None,
            places=at(places["right"], reference=places["other"]),
            reference=Reference(
                lab["other"], (("pyrrole red", 1.0), ("ultramarine", 1.0), ("titanium white", 5.0))
            ),
        )
    )
    assert "metameric_reference" in {flag.name for flag in found.flags}


def test_a_wrong_recipe_is_doubted(table):
    found = check(asked(table, "wrong", {"phthalo blue": 1.0, "titanium white": 3.0}))
    assert "recipe_doubted" in {flag.name for flag in found.found[0].flags}


def test_a_leftover_can_be_drawn_from(table):
    more = (("ground", (("yellow ochre", 3.0), ("titanium white", 20.0))),)
    found = check(replace(asked(table, "wrong", TOO_MUCH), puddles=more)).found[0]
    used = {
        addition.ingredient.name
        for correction in found.advice.corrections
        for addition in correction.additions
    }
    assert "ground" in used


@pytest.mark.parametrize(
    ("change", "error", "says"),
    [
        ({"target_lab": None}, UsageError, "--target"),
        ({"recipe": ()}, UsageError, "--recipe"),
        ({"places": None}, UsageError, "--hole"),
        ({"recipe": (("no such paint", 1.0),)}, BoxError, "no such paint"),
        ({"state": "damp"}, UsageError, "damp"),
        ({"light": "candle"}, UsageError, "candle"),
        ({"box": None, "light": "same"}, UsageError, "not made from a photo.* leave --light out"),
        ({"places": at("9999,9999,20", "1,1,9")}, HoleError, "outside|lies|photo"),
        ({"places": at("60,60,20")}, UsageError, "known colour.*--neutral X,Y,D"),
        ({"places": at("60,60,20", "1,1,9", 0.0)}, UsageError, r"L\* 0"),
    ],
)
def test_what_cannot_be_looked_at_is_told_in_a_sentence(table, change, error, says):
    with refused(error, match=says, remedies=REMEDIES):
        check(replace(asked(table, "right"), **change))


def test_a_box_without_black_has_no_black_dab(table, tmp_path):
    write_box(tmp_path / "box.toml", built_in_box().without(["ivory black"]))
    with refused(BoxError, match="no black"):
        check(replace(asked(table, "right"), box=tmp_path / "box.toml", light=None))
