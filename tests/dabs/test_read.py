"""Every dab read: its colour true through tilt, uneven light, noise and JPEG."""

from __future__ import annotations

import functools

import cv2
import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00, xyz_to_lab
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.dabs.box_card import compose
from refmatch.dabs.find import project
from refmatch.dabs.read import CardRead, read_card, read_page
from refmatch.errors import CardError
from refmatch.say.sentence import sentence_of
from refmatch.sheet import card_pages
from tests.dabs.studio import (
    FINE_PX_PER_MM,
    GREY,
    INK,
    SRGB_TO_XYZ_D50,
    Shot,
    drawn,
    even,
    exposed,
    fill,
    garden_card,
    lamp,
    photographed,
    pixels,
    printed,
    scale_of,
    to_photo,
    truths,
)
from tests.dabs.test_compose import LARGE
from tests.photo.made_photos import photo_of_srgb
from tests.refusals import refused

SMALL = {"width_px": 1224, "height_px": 1632}
LYING = {"width_px": 4000, "height_px": 3000}


@functools.cache
def page() -> np.ndarray:
    return drawn(garden_card())


@functools.cache
def fine_page() -> np.ndarray:
    return drawn(garden_card(), px_per_mm=FINE_PX_PER_MM)


def misses(read: CardRead, card=None) -> np.ndarray:
    """Return dE00 of every dab from what was painted, the grey card's light taken as known."""
    colours = truths(card or garden_card())
    found = np.array([dab.xyz for dab in read.dabs]) * (GREY / read.grey.xyz[1])
    true = np.array([colours[dab.window] for dab in read.dabs]) @ SRGB_TO_XYZ_D50.T
    return delta_e_00(xyz_to_lab(100.0 * found, ICC_WHITE), xyz_to_lab(100.0 * true, ICC_WHITE))


def flags_of(read: CardRead, label: str) -> set[str]:
    (dab,) = [each for each in read.dabs if each.window.label == label]
    names = [flag.name for flag in dab.flags]
    assert len(names) == len(set(names)), "a flag is given twice"
    return set(names)


@pytest.mark.parametrize(
    ("shot", "light"),
    [
        (Shot(**SMALL), even),
        (Shot(turn_deg=180.0, tilt_deg=12.0, quality=90, noise=0.012, **SMALL), lamp),
        (Shot(turn_deg=37.0, tilt_deg=35.0, tilt_axis_deg=20.0), lamp),
        (Shot(turn_deg=90.0, tilt_deg=35.0, tilt_axis_deg=90.0, **LYING), lamp),
    ],
    ids=["flat 2 MP", "upside down 2 MP", "35 degrees 8 MP", "35 degrees 12 MP"],
)
def test_every_dab_is_found_and_its_colour_read(shot, light):
    """Up to 48 megapixels: ``python -m tests.benchmarks.card_photos --megapixels 48``."""
    card = garden_card()
    read = read_page(photographed(fine_page(), card, shot, light), card)
    assert len(read.dabs) == len(card.windows)
    truth = np.linalg.inv(to_photo(shot, card))
    for dab in read.dabs:
        seen_mm = project(truth, dab.outline_px)
        assert np.abs(seen_mm - dab.window.place.corners_mm).max() < 0.5
        assert dab.flags == ()
    assert misses(read).max() < 1.0
    assert read.homography_residual_mm < 0.1
    assert read.shading_residual < 0.005
    evenness = 1.0 if light is even else 0.5
    assert read.shading.evenness == pytest.approx(evenness, abs=0.08)


def test_what_is_left_in_a_jpeg_is_the_jpegs_own_rounding():
    """The same camera, saved without loss, is read to a tenth of a dE00."""
    card, shot = garden_card(), Shot(turn_deg=200.0, tilt_deg=20.0, noise=0.01, **SMALL)
    read = read_page(photographed(page(), card, shot, lamp, ".png"), card)
    assert misses(read).max() < 0.1


def test_what_the_camera_saw_can_be_had_again():
    """The shading is divided out, and told, for who must undo a tone curve first."""
    card, shot = garden_card(), Shot(**SMALL)
    lit = read_page(photographed(page(), card, shot, lamp), card)
    plain = read_page(photographed(page(), card, shot), card)
    for one, other in zip(lit.dabs, plain.dabs, strict=True):
        x, y = one.window.place.centre_mm
        light = float(lamp(x, y))
        assert one.xyz[1] * one.shading == pytest.approx(other.xyz[1] * light, rel=0.03, abs=0.001)


def test_two_photos_of_two_pages():
    card = compose(LARGE)
    photos = [photographed(drawn(card, number), card, Shot(**SMALL), lamp) for number in (2, 1)]
    reads = read_card(photos, card)
    assert [read.page for read in reads] == [1, 2]
    assert [dab.window for read in reads for dab in read.dabs] == [
        window for window in card.windows if window.page <= 2
    ]
    assert max(misses(read, card).max() for read in reads) < 1.5
    missing = " and ".join(str(number) for number in range(3, card.pages + 1))
    assert all(f"page {missing} of" in sentence_of(read.flags[-1]) for read in reads)


def test_the_printed_pdf_itself_is_found_and_read():
    card = garden_card()
    seen = printed(card_pages.write(card), card, 1)
    read = read_page(photographed(seen, card, Shot(turn_deg=-100.0, **SMALL), lamp), card)
    assert misses(read).max() < 1.0
    assert read.shading_residual < 0.01
    assert {flag.name for dab in read.dabs for flag in dab.flags} == set()
    assert read.flags == ()


def test_two_kinds_of_light_are_told():
    """A window at the left, a warm lamp at the right: half as much blue there again."""
    card, picture = garden_card(), page().copy()
    across = np.linspace(0.0, 1.0, picture.shape[1], dtype=np.float32)[None, :]
    picture[..., 0] *= 0.8 + 0.2 * across
    picture[..., 2] *= 0.8 - 0.2 * across
    read = read_page(photographed(picture, card, Shot(**SMALL)), card)
    assert "mixed_light" in {flag.name for flag in read.flags}


def test_a_missing_grey_card():
    card = garden_card()
    photo = photographed(drawn(card, grey=False), card, Shot(turn_deg=15.0, **SMALL), lamp)
    with refused(CardError, match=r"grey card is missing in 'card\.jpg'.*over the cross"):
        read_page(photo, card)


def test_white_paper_is_no_grey_card():
    card, picture = garden_card(), page().copy()
    fill(picture, card.grey_on(1).place, 0.85)
    with refused(CardError, match=r"too bright for a grey of L\* 49\.5"):
        read_page(photographed(picture, card, Shot(**SMALL)), card)


def test_glare_brush_marks_and_a_bare_rim_are_left_out():
    card, picture = garden_card(), page().copy()
    shiny, ridged, bare = card.windows[3:6]
    scale = scale_of(picture)
    picture[pixels(picture, shiny.place.inset(3.0))][:, : 3 * scale] += 0.5
    ridges = picture[pixels(picture, ridged.place)]
    ridges[::15] *= 1.5
    ridges[1::15] *= 0.6
    picture[pixels(picture, bare.place)][:, : 4 * scale] = 0.78
    read = read_page(photographed(picture, card, Shot(width_px=1836, height_px=2448), lamp), card)
    found = dict(zip((dab.window for dab in read.dabs), misses(read), strict=True))
    assert found[shiny] < 1.0
    assert found[ridged] < 1.5
    assert found[bare] < 1.0
    assert "glare" in flags_of(read, shiny.label)


def test_stains_on_the_paper_do_not_bend_the_light():
    card, picture = garden_card(), page().copy()
    for each in card.papers[4:40:4]:
        fill(picture, each.place, (0.5, 0.2, 0.1))
    read = read_page(photographed(picture, card, Shot(**SMALL), lamp), card)
    assert misses(read).max() < 1.5
    assert (read.shading.used[4:40:4] < 0.01).all()


def test_hiding_is_judged_over_the_bar():
    card, picture = garden_card(), page().copy()
    thin, bare, empty = card.windows[1], card.windows[2], card.windows[4]
    fill(picture, thin.place, (0.5, 0.45, 0.2))
    fill(picture, thin.bar, (0.25, 0.22, 0.1))
    fill(picture, bare.place, (0.5, 0.45, 0.2))
    fill(picture, bare.bar, INK)
    fill(picture, empty.place, 0.84)
    fill(picture, empty.bar, INK)
    read = read_page(photographed(picture, card, Shot(**SMALL)), card)
    assert flags_of(read, thin.label) == {"does_not_hide"}
    assert flags_of(read, bare.label) == {"hiding_unknown"}
    assert flags_of(read, empty.label) == {"hiding_unknown", "looks_empty"}


def test_a_clipped_channel_is_told_at_its_end():
    card, picture = garden_card(), page().copy()
    bright, dark = card.windows[7], card.windows[8]
    fill(picture, bright.place, (1.4, 0.3, 0.1))
    fill(picture, dark.place, (0.5, 0.0, 0.2))
    read = read_page(photographed(picture, card, Shot(**SMALL)), card)
    assert "clipped" in flags_of(read, bright.label)
    assert "blocked_up" in flags_of(read, dark.label)
    ends = {dab.window: (dab.patch.clipped_high, dab.patch.clipped_low) for dab in read.dabs}
    assert (ends[bright][0] > 0.95).tolist() == [True, False, False]
    assert (ends[dark][1] > 0.2).tolist() == [False, True, False]
    assert not any(high.any() for window, (high, _) in ends.items() if window is not bright)


def test_blown_out_paper_tells_nothing_of_the_light():
    card = garden_card()
    bright = Shot(exposure=1.3, **SMALL)
    read = read_page(photographed(page(), card, bright, lamp), card)
    assert "paper_clipped" in {flag.name for flag in read.flags}
    assert read.shading.evenness == pytest.approx(0.5, abs=0.15)
    with refused(CardError, match="blown out in 'card"):
        read_page(photographed(page(), card, Shot(exposure=2.2, **SMALL), lamp), card)


def test_a_bending_lens_is_told_and_the_dabs_are_read_all_the_same():
    """Barrel distortion of 1 % at the corners, as phones leave it (from memory)."""
    card, shot = garden_card(), Shot(**SMALL)
    straight = exposed(page(), card, to_photo(shot, card), shot, even)
    half = np.hypot(shot.width_px, shot.height_px) / 2.0
    y, x = np.mgrid[0 : shot.height_px, 0 : shot.width_px].astype(np.float32)
    dx, dy = (x - shot.width_px / 2.0) / half, (y - shot.height_px / 2.0) / half
    bend = 1.0 + 0.01 * (dx**2 + dy**2)
    from_x = dx * bend * half + shot.width_px / 2.0
    from_y = dy * bend * half + shot.height_px / 2.0
    bent = cv2.remap(
        straight, from_x.astype(np.float32), from_y.astype(np.float32), cv2.INTER_LINEAR
    )
    read = read_page(photo_of_srgb(bent), card)
    assert 0.1 < read.homography_residual_mm < 1.0
    assert misses(read).max() < 1.0
