"""The dab card: what it holds, what its page says, its file, and what still stands of it."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pymupdf
import pytest

from refmatch.cli.remedies import REMEDIES
from refmatch.dabs.card import PAPERS
from refmatch.dabs.dab_card import card_from_json, card_to_json, read_card_file, text_place
from refmatch.errors import CardError, UsageError
from refmatch.paint.box import Box, built_in_tube
from refmatch.paint.box_file import built_in_box
from refmatch.painting.check import still_standing as as_it_stands
from refmatch.say.sentence import sentence_of
from refmatch.sheet import dab_card_pages
from refmatch.sheet.card_files import compose_dab_card as compose
from tests.dabs.studio import garden_card, pears_card
from tests.painting.example import painting
from tests.refusals import refused

BOX = built_in_box("garden-table")
MM = 72.0 / 25.4


@pytest.mark.parametrize("paper", PAPERS)
def test_every_target_has_its_window_and_every_page_its_white_and_black(paper):
    card, pears = pears_card(paper), painting(16)
    assert [each.number for each in card.targets] == list(range(1, 17))
    for window, target in zip(card.targets, pears.targets, strict=True):
        assert window.target == target.label
        assert np.allclose(window.wanted, target.lab, atol=1e-4)
    assert card.pages == 2
    for page in (1, 2):
        paints = [each.tube for each in card.paints if each.page == page]
        assert paints == ["titanium white", "ivory black"]


def test_a_box_without_black_or_white_leaves_room_for_dabs():
    tubes = {name: built_in_tube(name) for name in ("PW6", "PB29")}
    white = compose(painting(16), Box("pale", tuple(tubes.values())))
    assert [(each.tube, each.page) for each in white.paints] == [("PW6", 1), ("PW6", 2)]
    none = compose(painting(16), Box("blue", (tubes["PB29"],)))
    assert (none.paints, none.pages, none.white) == ((), 1, None)


def test_markers_are_of_these_targets_alone():
    """So that a card printed before the targets changed is not read as this one."""
    numbers = {marker.number for marker in pears_card().markers}
    again = {marker.number for marker in compose(painting(16), BOX).markers}
    moved = painting(16)
    other = replace(moved.targets[2], lab=moved.targets[2].lab + np.array([2.0, 0.0, 0.0]))
    changed = replace(moved, targets=(*moved.targets[:2], other, *moved.targets[3:]))
    assert again == numbers
    found = {marker.number for marker in compose(changed, BOX).markers}
    assert len(found & numbers) < len(numbers) / 2


def test_what_no_card_can_be_made_of():
    with refused(CardError, match="no targets yet"):
        compose(painting(0), BOX)
    with refused(UsageError, match="a4, letter"):
        compose(painting(2), BOX, "a3")
    with refused(UsageError, match=r"49\.5"):
        compose(painting(2), BOX, "a4", 0.0)


@pytest.mark.parametrize("paper", PAPERS)
def test_beside_each_window_stands_what_goes_into_it(paper):
    card = pears_card(paper)
    made = pymupdf.open(stream=dab_card_pages.write(card))
    for window in card.targets:
        place = text_place(window.place, paper)
        beside = pymupdf.Rect(
            place.x_mm * MM - 1, place.y_mm * MM - 2, place.right_mm * MM + 1, place.bottom_mm * MM
        )
        said = " ".join(made[window.page].get_textbox(beside).split())
        for words in (str(window.number), window.target, window.words, window.recipe):
            assert words in said


def test_odd_and_long_names_stay_beside_their_window():
    pears = painting(2)
    long = replace(pears.targets[0], label="a hill far away behind the second garden " * 4)
    odd = replace(pears.targets[1], label="汉 {x} <b>")
    card = compose(replace(pears, targets=(long, odd)), BOX)
    page = pymupdf.open(stream=dab_card_pages.write(card))[1]
    assert "[U+6C49] {x} <b>" in " ".join(page.get_text().split())
    place = text_place(card.targets[0].place, "a4")
    row = [word for word in page.get_text("words") if 80.0 < word[1] < place.bottom_mm * MM + 20.0]
    left = [word for word in row if word[0] < place.right_mm * MM]
    assert max(word[2] for word in left) <= place.right_mm * MM + 1.0
    assert max(word[3] for word in row) <= place.bottom_mm * MM


@pytest.mark.parametrize("paper", PAPERS)
def test_the_first_page_says_how_and_all_of_it_is_on_the_page(paper):
    page = pymupdf.open(stream=dab_card_pages.write(pears_card(paper)))[0]
    words = " ".join(page.get_text().split())
    for said in ("primed canvas paper", "No flash", "titanium white and ivory black", "49.5"):
        assert said in words
    assert "no reference" in words
    assert "keep the file as the camera made it." in words
    assert max(word[3] for word in page.get_text("words")) < page.rect.height - 12.0 * MM


@pytest.mark.parametrize("paper", PAPERS)
def test_what_is_written_is_read_back(paper):
    assert card_from_json(card_to_json(pears_card(paper))) == pears_card(paper)


def changed(**changes):
    return json.dumps(json.loads(card_to_json(pears_card())) | changes)


def rows(key, **changes):
    return [row | changes for row in json.loads(card_to_json(pears_card()))[key]]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[]", "not a card file"),
        (changed(format="refmatch-card"), "not a card file"),
        (changed(version=2), "newer refmatch"),
        (changed(targets=rows("targets", target="pear")), "two targets have one name"),
        (changed(targets=rows("targets", lab=[50, None, 0])), "None is not a number"),
        (changed(targets=rows("targets", page=1), windows=[]), "a page is incomplete"),
        (changed(tubes=[]), "not those of the tubes"),
        (changed(painting={}), "it lacks 'title'"),
    ],
)
def test_what_is_no_dab_card_is_refused_in_one_sentence(text, says):
    with refused(CardError, match=says) as caught:
        card_from_json(text, "dab-card.json")
    assert "'dab-card.json'" in str(caught.value)


def test_a_painting_without_a_card_and_a_calibration_card_in_its_place(tmp_path):
    with refused(
        CardError, match="no dab card yet; print one with 'refmatch card", remedies=REMEDIES
    ):
        read_card_file(tmp_path / "dab-card.json")
    from refmatch.dabs.box_card import card_to_json as calibration_to_json

    (tmp_path / "dab-card.json").write_text(calibration_to_json(garden_card()))
    with refused(CardError, match="not a card file"):
        read_card_file(tmp_path / "dab-card.json")


def test_as_long_as_nothing_changed_all_of_it_stands():
    assert as_it_stands(pears_card(), painting(16), BOX) == pears_card()


def test_what_was_changed_taken_out_or_came_later_is_told():
    pears = painting(16)
    lighter = replace(pears.targets[0], lab=pears.targets[0].lab + np.array([3.0, 0.0, 0.0]))
    later = replace(pears.targets[1], label="plum")
    now = replace(pears, targets=(lighter, later, *pears.targets[2:]))
    card = as_it_stands(pears_card(), now, BOX)
    assert [each.number for each in card.targets] == list(range(3, 17))
    assert card.paints == pears_card().paints
    told = {flag.name: sentence_of(flag, REMEDIES) for flag in card.flags}
    assert "'pear, lit side' and 'pear, turning'" in told["target_changed"]
    assert "'plum'" in told["target_not_on_card"]


def test_a_card_of_which_nothing_stands_is_refused():
    pears = painting(2)
    others = tuple(replace(each, label=f"new {each.label}") for each in pears.targets)
    with refused(CardError, match="None of the colours .* print the card again", remedies=REMEDIES):
        as_it_stands(compose(pears, BOX), replace(pears, targets=others), BOX)


def test_white_of_other_pigments_counts_no_more():
    zinc = built_in_tube("zinc-white", "titanium white")
    box = replace(BOX, tubes=tuple(zinc if tube.is_white else tube for tube in BOX.tubes))
    card = as_it_stands(pears_card(), painting(16), box)
    assert {each.tube for each in card.paints} == {"ivory black"}
    assert [flag.name for flag in card.flags] == ["paint_changed"]
