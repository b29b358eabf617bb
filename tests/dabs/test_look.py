"""Looking at dabs: shine taken off, and each surface beside them as sure as it is."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.dabs.belief import believed, look
from refmatch.dabs.beside import grey_card, paint, reference
from refmatch.dabs.camera import SAME, Tone, lamp
from refmatch.dabs.doubt import (
    OTHER_PIGMENTS,
    PHOTOS_ALIKE,
    SAME_PIGMENTS,
    TONE_USUAL,
    UNKNOWN_PIGMENTS,
)
from refmatch.dabs.spot import DRY, STATES, SUNK, WET, Spot, with_shine, without_shine
from refmatch.paint.box import CameraBelief
from refmatch.paint.box_file import built_in_box
from refmatch.paint.kubelka_munk import FINISHES
from refmatch.recipe.mixture import Palette
from tests.benchmarks import photo_alone
from tests.dabs.test_chart import photographed
from tests.virtual_studio.camera import grey
from tests.virtual_studio.instrument import random_mixes
from tests.virtual_studio.paints import another_painters

BOX = built_in_box()
SURE = np.full(3, 1e-4)
GREY_LAB = np.array([50.0, 0.0, 0.0])
STUDIO = another_painters(BOX.tubes, 41)


def seen_sunk(parts, state):
    """Dabs of piles in a state, as the eye under D50 sees them, and what they are when wet."""
    wet = STUDIO.reflectance(parts)
    surfaces = np.concatenate([with_shine(wet, state, BOX.surface), grey(50.0)[None]])
    shot = photographed(surfaces, tone=Tone.of(TONE_USUAL))
    spots = [Spot(xyz=xyz, sigma=SURE) for xyz in shot]
    eye = CameraBelief(lamp("D50"), 1e-4 * np.ones((1, 31, 3)))
    box = replace(BOX, camera=eye)
    known = [grey_card(GREY_LAB, spots[-1])]
    looked = look(box, parts, spots[:-1], known, light=SAME, state=state)
    return looked, reflectance_to_lab(wet), reflectance_to_lab(surfaces[:-1])


def test_the_states_are_the_finishes_of_gloss_satin_and_matt():
    assert [STATES[state].f for state in (WET, DRY, SUNK)] == list(FINISHES.values())
    assert list(FINISHES) == ["gloss", "satin", "matt"]


def test_a_sunk_dark_looks_lighter_and_greyer_than_it_is():
    """Common practice, no source: oil sinks matt, its darks look lighter and greyer."""
    dark = Palette.of(BOX.tubes).reflectance(
        np.array([[1.0 if tube.name == "ultramarine" else 0.0 for tube in BOX.tubes]])
    )
    wet, sunk = (
        reflectance_to_lab(dark)[0],
        reflectance_to_lab(with_shine(dark, SUNK, BOX.surface))[0],
    )
    assert sunk[0] > wet[0] + 5.0
    assert np.hypot(*sunk[1:]) < np.hypot(*wet[1:])


@pytest.mark.parametrize("state", [DRY, SUNK])
def test_the_shine_is_taken_off_before_a_dab_is_judged(state):
    parts = random_mixes(STUDIO, 20, 3)
    looked, wet, as_it_looks = seen_sunk(parts, state)
    by_eye = delta_e_00(as_it_looks, wet)
    off = delta_e_00(looked.measured.lab, wet)
    assert np.median(off) < 0.5 < np.median(by_eye)
    assert np.percentile(off, 90) < 0.5 * np.percentile(by_eye, 90)


def test_what_the_shine_leaves_open_is_said_most_of_darks():
    parts = random_mixes(STUDIO, 20, 3)
    (sunk, wet, _), (plain, _, _) = seen_sunk(parts, SUNK), seen_sunk(parts, WET)
    more = [
        np.trace(a.covariance_of(n)) - np.trace(b.covariance_of(n))
        for a, b in [(sunk.measured, plain.measured)]
        for n in range(len(parts))
    ]
    assert min(more) > 0.0
    order = np.argsort(wet[:, 0])
    assert np.mean(np.array(more)[order[:5]]) > 3.0 * np.mean(np.array(more)[order[-5:]])


def test_shine_goes_on_and_off_again():
    rng = np.random.default_rng(2)
    body = rng.uniform(0.01, 0.9, (5, 31))
    surface = replace(BOX.surface, f=0.3)
    np.testing.assert_allclose(without_shine(with_shine(body, SUNK, surface), SUNK, surface), body)


def test_paint_beside_is_only_as_sure_as_the_box():
    """Generic white is nearly known, generic ultramarine masstone is not."""
    ends = {
        tube.name: paint(BOX, row, Spot(xyz=np.ones(3), sigma=SURE), WET)
        for tube, row in zip(BOX.tubes, np.eye(len(BOX.tubes)), strict=True)
    }
    doubt = {name: known.doubt_lstar for name, known in ends.items()}
    assert doubt[BOX.white.name] < min(doubt[name] for name in doubt if name != BOX.white.name)
    np.testing.assert_allclose(
        ends["ultramarine"].reflectance,
        Palette.of(BOX.tubes).reflectance(np.eye(len(BOX.tubes)))[
            [tube.name for tube in BOX.tubes].index("ultramarine")
        ],
    )


def test_a_reference_keeps_its_lab_and_is_less_sure_the_less_its_pigments_are_known():
    parts = random_mixes(STUDIO, 1, 5)
    guess = Palette.of(BOX.tubes).reflectance(parts)[0]
    lab = reflectance_to_lab(guess) + np.array([2.0, 1.0, -1.0])
    spot = Spot(xyz=np.ones(3), sigma=SURE)
    found = reference(lab, guess, spot, OTHER_PIGMENTS)
    assert SAME_PIGMENTS < found.doubt_lstar < UNKNOWN_PIGMENTS
    np.testing.assert_allclose(reflectance_to_lab(found.reflectance), lab, atol=1e-3)


def test_the_pile_has_the_colour_that_was_found():
    parts = random_mixes(STUDIO, 8, 6)
    looked, _, _ = seen_sunk(parts, WET)
    for number, pile in enumerate(looked.piles):
        assert delta_e_00(pile.lab, looked.estimated.lab[number]) < 0.1
        assert pile.parts == pytest.approx(parts[number].sum())
        again = believed(BOX, 2.0 * parts[number], looked.estimated, number)
        np.testing.assert_allclose(again.absorption, pile.absorption)


@pytest.mark.parametrize("way", photo_alone.WAYS)
def test_two_photos_by_one_phone_err_alike_as_is_believed(way):
    """Measured bodies, each left out of the belief; other painters than those it was found by.

    So few piles tell a correlation to some 0.15.
    """
    found = photo_alone.alike(way, "D50", range(7100, 7110), 3)
    assert found == pytest.approx(PHOTOS_ALIKE, abs=0.35)
