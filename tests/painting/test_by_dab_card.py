"""A photo of a painted dab card: each dab's true light, what is known beside it, what is not there.

The card's own PDF is painted in invented colours and photographed by a pinhole camera; with a
chart beside it, by one of the virtual studio's cameras.
"""

from __future__ import annotations

import functools
from dataclasses import replace

import numpy as np
import pytest

from refmatch.colorimetry.display import SRGB_TO_XYZ, decode_srgb
from refmatch.colorimetry.lab import delta_e_00, xyz_to_lab
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.dabs.beside import GREY, PAINT, PATCH
from refmatch.dabs.read import read_page
from refmatch.dabs.spots import on_dab_card
from refmatch.errors import CardError
from refmatch.flag import Flag
from refmatch.say.sentence import sentence_of
from refmatch.sheet import dab_card_pages
from tests.dabs import studio
from tests.dabs.studio import (
    CANVAS,
    INK,
    SRGB_TO_XYZ_D50,
    Shot,
    fill,
    garden_card,
    lamp,
    pears_card,
    photographed,
    truths,
)
from tests.refusals import refused
from tests.virtual_studio import card_photo

SHOT = Shot(width_px=1224, height_px=1632, turn_deg=170.0, tilt_deg=15.0, tilt_axis_deg=40.0)
EMPTY = "wall behind"


def painted(card, page: int = 1, *, grey: bool = True) -> np.ndarray:
    """Return a page as printed and painted, white and black among it; one window is left empty."""
    picture = studio.printed(dab_card_pages.write(card), card, page, grey=grey)
    for window in card.windows_on(page):
        if window.label == EMPTY:
            fill(picture, window.place, CANVAS)
            fill(picture, window.bar, INK)
    for window, light in zip(card.paints, (0.88, 0.02) * card.pages, strict=True):
        if window.page == page:
            fill(picture, window.place, light)
            fill(picture, window.bar, light)
    return picture


@functools.cache
def seen(paper: str = "a4", page: int = 1):
    card = pears_card(paper)
    return on_dab_card(photographed(painted(card, page), card, SHOT, lamp), card)


def known(found, kind):
    return [each for each in found.beside if each.kind == kind]


def lab_of(spot, grey) -> np.ndarray:
    """Return a spot's Lab, the grey card's light taken as known."""
    return xyz_to_lab(100.0 * spot.xyz * studio.GREY / grey.xyz[1], ICC_WHITE)


def true_lab(linear) -> np.ndarray:
    return xyz_to_lab(100.0 * SRGB_TO_XYZ_D50 @ np.broadcast_to(linear, 3), ICC_WHITE)


@pytest.mark.parametrize(("paper", "page"), [("a4", 1), ("a4", 2), ("letter", 1)])
def test_every_dab_is_read_in_its_true_light(paper, page):
    card, found = pears_card(paper), seen(paper, page)
    (grey,) = known(found, GREY)
    colours = truths(card)
    windows = [each for each in card.targets if each.page == page and each.target != EMPTY]
    assert set(found.spots) == {each.target for each in windows}
    for window in windows:
        miss = delta_e_00(lab_of(found.spots[window.target], grey.spot), true_lab(colours[window]))
        assert miss < 1.0, window.label
        assert not found.flags_of[window.target]


def test_grey_card_white_and_black_are_known_beside_them():
    found = seen()
    (grey,) = known(found, GREY)
    assert grey.lab.tolist() == [49.5, 0.0, 0.0]
    white, black = known(found, PAINT)
    assert (white.parts, black.parts) == ((("titanium white", 1.0),), (("ivory black", 1.0),))
    assert delta_e_00(lab_of(white.spot, grey.spot), true_lab(0.88)) < 1.0
    assert delta_e_00(lab_of(black.spot, grey.spot), true_lab(0.02)) < 1.0


def test_the_light_that_was_divided_out_is_told():
    """By the lamp alone: nearer to it, a dab got more of its light."""
    card, found = pears_card(), seen()
    got = {each.target: lamp(*each.place.centre_mm) for each in card.targets if each.page == 1}
    told = np.array([found.spots[label].shading for label in got if label != EMPTY])
    true = np.array([light for label, light in got.items() if label != EMPTY])
    assert np.ptp(told / true) / (told / true).mean() < 0.02


def test_an_empty_window_has_no_spot_but_a_flag_and_pages_elsewhere_are_told():
    found = seen()
    assert "looks_empty" in {flag.name for flag in found.flags_of[EMPTY]}
    told = {flag.name: sentence_of(flag) for flag in found.flags}
    assert set(told) == {"windows_empty", "other_pages"}
    assert f"'{EMPTY}'" in told["windows_empty"]
    assert "page 2" in told["other_pages"]


def test_white_and_nearly_white_dabs_are_no_empty_windows_unless_the_bar_is_bare():
    """The second white lies as bright as the paper over its bar; the black window is left bare."""
    card = pears_card("a4", 2)
    pale, other = card.targets
    card = replace(card, windows=(replace(pale, lab=(93.0, 0.0, 4.0)), other, *card.paints))
    picture = painted(card)
    fill(picture, pale.place, 0.86)
    fill(picture, pale.bar, 0.86)
    fill(picture, card.paints[1].place, CANVAS)
    fill(picture, card.paints[1].bar, INK)
    found = on_dab_card(photographed(picture, card, SHOT), card)
    assert set(found.spots) == {pale.target, other.target}
    assert [each.parts[0][0] for each in known(found, PAINT)] == ["titanium white"]
    fill(picture, pale.bar, INK)
    fill(picture, card.paints[0].place, CANVAS)
    fill(picture, card.paints[0].bar, INK)
    found = on_dab_card(photographed(picture, card, SHOT), card)
    assert set(found.spots) == {other.target}
    assert not known(found, PAINT)


def test_what_the_card_no_longer_holds_is_said_with_the_photo():
    card = pears_card()
    older = replace(card, windows=card.windows[1:], flags=(Flag("target_changed", "So it is."),))
    found = on_dab_card(photographed(painted(card), card, SHOT), older)
    assert "pear, lit side" not in found.spots
    assert "target_changed" in {flag.name for flag in found.flags}


def test_nothing_painted_no_grey_another_card_are_refused():
    card = pears_card("a4", 2)
    bare = studio.printed(dab_card_pages.write(card), card, 1)
    for window in card.windows:
        fill(bare, window.place, CANVAS)
        fill(bare, window.bar, INK)
    with refused(CardError, match=r"No dab is painted on page 1 .*'card\.jpg'"):
        on_dab_card(photographed(bare, card, SHOT), card)
    without = photographed(painted(card, grey=False), card, SHOT)
    with refused(CardError, match=r"grey card is missing .* 24-patch chart"):
        on_dab_card(without, card)
    with refused(CardError, match="another card than that of the painting 'Pears"):
        on_dab_card(without, pears_card())
    with refused(CardError, match="another card than that of the box"):
        read_page(without, garden_card())


def test_a_chart_beside_the_card_serves_alone():
    """By a phone with glare and a tone curve; the chart's patches are numbered as they lie."""
    card = pears_card("a4", 2)
    setting = card_photo.setting_of(
        11, "D65", replace(card_photo.SHOT, width_px=2000, height_px=1500)
    )
    photo = card_photo.page_photographed(painted(card, grey=False), setting)
    found = on_dab_card(photo, card)
    assert not known(found, GREY)
    assert "grey_card_not_seen" in {flag.name for flag in found.flags}
    for window in card.targets:
        spot, linear = found.spots[window.target], truths(card)[window]
        seen_by_camera = as_developed(linear, window.place.centre_mm, setting)
        miss = delta_e_00(xyz_to_lab(100.0 * spot.xyz * spot.shading, ICC_WHITE), seen_by_camera)
        assert miss < 1.0, window.label
    patches = {each.number: each for each in known(found, PATCH)}
    assert len(patches) >= 20
    assert set(patches) <= set(range(1, 25))
    luminance = [patches[number].spot.xyz[1] for number in range(19, 25)]
    assert luminance == sorted(luminance, reverse=True)  # white to black in the last row
    assert patches[19].at[0] < patches[20].at[0]


def as_developed(linear, at_mm, setting) -> np.ndarray:
    """Return the Lab that a photo without noise holds of a place on the card."""
    camera = setting.seen_by
    left, top = card_photo.CARD_AT_MM
    lit = linear * camera.weights.sum(axis=0) * setting.lamp(at_mm[0] + left, at_mm[1] + top)
    code = np.clip(camera.develop(lit + camera.glare), 0.0, 1.0)
    return xyz_to_lab(SRGB_TO_XYZ @ decode_srgb(code), ICC_WHITE)
