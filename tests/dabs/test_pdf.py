"""The card as printed: black on white, its markers legible, its plain paper plain."""

from __future__ import annotations

import functools
import itertools

import numpy as np
import pymupdf
import pytest

from refmatch.dabs.box_card import compose
from refmatch.dabs.card import PAPERS
from refmatch.dabs.find import detect
from refmatch.paint.box import Box, built_in_tube
from refmatch.sheet import card_pages
from refmatch.sheet import dab_card_pages as dab_pdf
from tests.dabs.studio import garden_card, pears_card
from tests.photo.made_photos import photo_of_srgb

PX_PER_MM = 8
MM = 72.0 / 25.4


CARDS = {"calibration": (garden_card, card_pages.write), "dabs": (pears_card, dab_pdf.write)}
every_card = pytest.mark.parametrize(("kind", "paper"), list(itertools.product(CARDS, PAPERS)))


@functools.cache
def printed(kind: str, paper: str) -> pymupdf.Document:
    make, write = CARDS[kind]
    return pymupdf.open(stream=write(make(paper)))


@functools.cache
def raster(kind: str, paper: str, page: int) -> np.ndarray:
    shown = printed(kind, paper)[page].get_pixmap(dpi=round(PX_PER_MM * 25.4))
    return np.frombuffer(shown.samples, np.uint8).reshape(shown.height, shown.width, 3)


def reduced(picture: np.ndarray, place) -> np.ndarray:
    scale = 203.0 / 25.4
    top, bottom = round(place.y_mm * scale), round(place.bottom_mm * scale)
    return picture[top:bottom, round(place.x_mm * scale) : round(place.right_mm * scale)]


@every_card
def test_it_is_achromatic_and_within_what_printers_reach(kind, paper):
    for page in range(2):
        picture = raster(kind, paper, page).astype(int)
        assert (np.ptp(picture, axis=-1) <= 1).all()
        margin = 10 * PX_PER_MM
        inked = np.argwhere(picture[..., 1] < 250)
        assert inked.min() >= margin
        assert (inked.max(axis=0) < np.array(picture.shape[:2]) - margin).all()


@every_card
def test_every_marker_can_be_read_where_it_should_be(kind, paper):
    card = CARDS[kind][0](paper)
    found = detect(photo_of_srgb(raster(kind, paper, 1)))
    assert set(found) == {marker.number for marker in card.markers_on(1)}
    for marker in card.markers_on(1):
        at_mm = found[marker.number] / (203.0 / 25.4)
        assert np.abs(at_mm - marker.place.corners_mm).max() < 0.1


@every_card
def test_plain_paper_is_plain_bars_are_black_and_the_cross_shows(kind, paper):
    card, picture = CARDS[kind][0](paper), raster(kind, paper, 1)
    for each in card.papers_on(1):
        assert reduced(picture, each.place).min() == 255
    for window in card.windows_on(1):
        assert reduced(picture, window.bar.inset(0.2)).max() == 0
    grey = reduced(picture, card.greys[0].place.inset(4.0))
    assert 0.15 < (grey < 128).mean() < 0.7


def test_every_window_says_what_to_mix():
    page = printed("calibration", "a4")[1]
    for window in garden_card("a4").windows:
        x, y = window.place.x_mm * MM, window.place.y_mm * MM
        above = pymupdf.Rect(x - 1, y - 28, x + (window.place.width_mm + 5.0) * MM, y - 1)
        said = " ".join(page.get_textbox(above).split())
        pair = f"{window.parts} {window.tube} to {window.other_parts} {window.other}"
        assert (pair if window.other else window.parts_in_words) in said
    words = " ".join(page.get_text().split())
    assert all(tube.name in words for tube in garden_card("a4").tubes)


def test_the_first_page_says_how():
    words = " ".join(printed("calibration", "a4")[0].get_text().split())
    for said in ("primed canvas paper", "flat", "hides", "45 degrees", "No flash", "wet", "dry"):
        assert said in words
    assert "nine parts of titanium white" in words
    assert "49.5" in words


def test_odd_and_long_names_stay_within_their_group():
    tubes = (built_in_tube("PW6"), built_in_tube("PB29", "ß" * 90), built_in_tube("PY74", "汉 {x}"))
    made = pymupdf.open(stream=card_pages.write(compose(Box("{odd} & <b>", tubes))))
    page = made[1]
    assert "{odd} & <b>" in page.get_text()
    assert "[U+6C49] {x}" in page.get_text()
    right = max(word[2] for word in page.get_text("words"))
    assert right < 180.0 * MM


@every_card
def test_bytes_are_the_same_each_time(kind, paper):
    make, write = CARDS[kind]
    assert write(make(paper)) == write(make(paper))
