"""The card as laid out: every dab has its window, and nothing lies on anything else."""

from __future__ import annotations

import functools
import itertools
from dataclasses import replace

import pytest

from refmatch.dabs.box_card import (
    card_from_json,
    card_to_json,
    check_made_for,
    compose,
    dark_pairs,
    digest_of,
)
from refmatch.dabs.card import MARGIN_MM, MODULES, PAPERS, Frame
from refmatch.errors import BoxError, CardError, UsageError
from refmatch.paint.box import Box, built_in_tube
from refmatch.paint.box_file import built_in_box
from refmatch.paint.library import pigments
from tests.dabs.studio import pears_card
from tests.refusals import refused

SMALL = Box("two", (built_in_tube("PB29"), built_in_tube("PW6"), built_in_tube("zinc-white")))
LARGE = Box("all", tuple(built_in_tube(key) for key in pigments()))
BOXES = {"small": SMALL, "garden table": built_in_box("garden-table"), "every pigment": LARGE}


CARDS = {name: functools.partial(compose, box) for name, box in BOXES.items()}
CARDS |= {"dabs of pears": pears_card, "one dab": functools.partial(pears_card, count=1)}


@pytest.fixture(params=list(itertools.product(CARDS, PAPERS)), ids=str)
def card(request) -> Frame:
    name, paper = request.param
    return CARDS[name](paper=paper)


def test_every_tube_has_its_masstone_and_only_whites_no_let_downs():
    card = compose(LARGE)
    for tube in LARGE.tubes:
        parts = [
            (w.parts, w.white_parts) for w in card.windows if w.tube == tube.name and not w.other
        ]
        assert parts[0] == (1, 0)
        assert len(parts) == (1 if tube.is_white else 3)
        assert card.is_white(tube.name) == tube.is_white


def test_strong_tubes_are_let_down_further():
    """Phthalocyanines overwhelm white, earths do not (common practice, no source)."""
    card = compose(built_in_box("garden-table"))
    parts = {
        name: {w.white_parts for w in card.windows if w.tube == name}
        for name in ("phthalo blue", "yellow ochre", "burnt umber")
    }
    assert parts["phthalo blue"] == {0, 9, 30}
    assert parts["yellow ochre"] == parts["burnt umber"] == {0, 1, 9}


def test_dark_tubes_meet_black_and_the_colour_that_lies_opposite():
    """Green darkens red, and a blue an orange earth, to greys (common practice, no source)."""
    pairs = {(pair.tube, pair.other) for pair in dark_pairs(built_in_box("garden-table"))}
    assert {("ultramarine", "ivory black"), ("burnt umber", "ivory black")} <= pairs
    assert {("phthalo green", "pyrrole red"), ("burnt sienna", "phthalo blue")} <= pairs
    assert not any({"titanium white", "yellow ochre"} & {tube} for tube, _ in pairs)


def test_dabs_of_two_tubes_fill_the_page_and_a_short_card_is_as_it_ever_was():
    box = built_in_box("garden-table")
    whole, short = compose(box), compose(box, is_short=True)
    assert whole.pages == short.pages == 1
    assert whole.windows[: len(short.windows)] == short.windows
    assert len(whole.windows) == len(short.windows) + 6
    letter = compose(box, "letter")  # the short one fills its page
    assert letter.pages == 2
    assert {w.other != "" for w in letter.windows_on(2)} == {True}
    assert card_from_json(card_to_json(letter)) == letter
    # an older card's file knows nothing of them
    assert '"other"' not in card_to_json(short)
    assert card_from_json(card_to_json(short)) == short


def test_windows_are_large_enough_and_their_bars_lie_under_them(card):
    for window in card.windows:
        assert window.place.width_mm >= 18.0
        assert window.place.height_mm >= 14.0
        assert window.bar.y_mm == window.place.bottom_mm
        assert window.bar.width_mm == window.place.width_mm


def test_nothing_lies_on_anything_else_or_in_the_margin(card):
    for page in range(1, card.pages + 1):
        module = card.markers[0].place.width_mm / MODULES
        places = [w.place for w in card.windows_on(page)] + [w.bar for w in card.windows_on(page)]
        places += [each.place for each in card.papers_on(page)] + [card.grey_on(page).place]
        # a marker needs a white rim of one module to be seen
        places += [marker.place.inset(-module) for marker in card.markers_on(page)]
        for one, other in itertools.combinations(places, 2):
            assert not one.overlaps(other), (one, other)
        for place in places:
            assert min(place.x_mm, place.y_mm) >= MARGIN_MM - module - 1e-9
            assert place.right_mm <= card.width_mm - MARGIN_MM + module + 1e-9
            assert place.bottom_mm <= card.height_mm - MARGIN_MM + module + 1e-9


def test_plain_paper_lies_all_around_the_windows(card):
    for page in range(1, card.pages + 1):
        papers = [each.place.centre_mm for each in card.papers_on(page)]
        for window in card.windows_on(page):
            x, y = window.place.centre_mm
            assert any(px < x for px, _ in papers)
            assert any(px > x for px, _ in papers)
            assert any(py < y for _, py in papers)
            assert any(py > y for _, py in papers)


def test_every_page_and_every_box_has_markers_of_its_own():
    large, small = compose(LARGE), compose(SMALL)
    numbers = [marker.number for marker in large.markers]
    assert large.pages >= 3
    assert len(set(numbers)) == len(numbers)
    other = {marker.number for marker in small.markers}
    # a thousand numbers: chance alone gives two cards a few in common, never a page
    assert len(other & set(numbers)) < len(other) / 2
    assert compose(SMALL).markers == small.markers
    assert {m.number for m in compose(SMALL, "letter").markers} != other


def test_the_digest_is_of_what_the_tubes_are_not_of_how_they_were_measured():
    box = built_in_box("garden-table")
    stronger = replace(box, tubes=(replace(box.tubes[0], strength=0.8), *box.tubes[1:]))
    renamed = replace(box, tubes=(replace(box.tubes[0], name="my own"), *box.tubes[1:]))
    assert digest_of(stronger) == digest_of(box) != digest_of(renamed)


def test_a_card_is_read_with_the_box_it_was_made_for():
    box = built_in_box("garden-table")
    card = compose(box)
    check_made_for(card, replace(box, tubes=(*box.tubes, built_in_tube("PY3", "lemon"))))
    other = replace(box.tubes[3], pigments=("PR101",))
    with refused(CardError, match=f"lacks {other.name} or holds it with other pigments"):
        check_made_for(card, replace(box, tubes=(*box.tubes[:3], other, *box.tubes[4:])))


def test_what_no_card_can_be_made_of():
    with refused(BoxError, match="no white"):
        compose(Box("dark", (built_in_tube("PB29"),)))
    with refused(UsageError, match="a4, letter"):
        compose(SMALL, "a3")
    with refused(UsageError, match=r"49\.5"):
        compose(SMALL, "a4", 0.0)
