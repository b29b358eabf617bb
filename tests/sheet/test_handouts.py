"""A class's prints: what each page may say, what fits on it, and how heavy the whole is."""

from __future__ import annotations

from dataclasses import replace

import pymupdf
import pytest

from refmatch.atelier.mixes import Lesson
from refmatch.colorimetry.hues import luminance_from_value
from refmatch.colorimetry.lab import lab_to_xyz
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.dabs.card import PAPERS
from refmatch.painting.model import OtherPhoto, picture_name
from refmatch.plan.layers import GLAZE, Brushed, PaintLayer
from refmatch.say.atelier import TUTORS_SHEET
from refmatch.sheet.handout import Handout, Printed
from refmatch.sheet.handout_pages import write_handouts
from refmatch.sheet.tutor_pages import write_tutor
from refmatch.sheet.value_strip import grey_of
from tests.atelier import example

MARGIN = 12.0 * 72.0 / 25.4
LONG = "Wilhelmina-Konstanze of the second row by the north window ñ"


@pytest.fixture(scope="module")
def lesson(tmp_path_factory: pytest.TempPathFactory) -> Lesson:
    made = example.lesson(tmp_path_factory.mktemp("class") / "tuesday", example.FOUR[1:3])
    return replace(made, seats=(*made.seats, replace(made.seats[0], name=LONG)))


@pytest.fixture(scope="module")
def handouts(lesson: Lesson) -> list[Handout]:
    printed = Printed(lesson)
    return [printed.handout(seat) for seat in lesson.seats]


def crowded(handout: Handout, times: int) -> Handout:
    """Return a hand-out of many times as many targets."""
    return replace(handout, guesses=handout.guesses * times, answers=handout.answers * times)


def opened(data: bytes) -> pymupdf.Document:
    return pymupdf.open(stream=data)


def text_of(page: pymupdf.Page) -> str:
    return " ".join(page.get_text().split())


def test_the_first_page_gives_no_recipe_away(handouts: list[Handout]) -> None:
    for handout in handouts:
        first = text_of(opened(write_handouts([handout]))[0])
        tubes = {words for answer in handout.answers for _, words in answer.parts}
        assert not any(tube in first for tube in tubes)
        assert all(guess.label in first for guess in handout.guesses)


def test_the_second_page_holds_every_part(handouts: list[Handout]) -> None:
    handout = handouts[0]
    second = text_of(opened(write_handouts([handout]))[1])
    for answer in handout.answers:
        for figure, words in answer.parts:
            assert f"{figure} {words}".replace("\xa0", " ") in second.replace("\xa0", " ")


@pytest.mark.parametrize("times", [1, 5])
@pytest.mark.parametrize("paper", PAPERS)
def test_words_stay_on_the_paper_and_off_one_another(
    handouts: list[Handout], paper: str, times: int
) -> None:
    many = [crowded(handout, times) for handout in handouts]
    for page in opened(write_handouts(many, paper)):
        _check_page(page)


@pytest.mark.parametrize("paper", PAPERS)
def test_the_tutors_sheet_holds_everybodys_answers(lesson: Lesson, paper: str) -> None:
    sheet = Printed(lesson).tutor
    many = replace(sheet, groups=tuple(replace(g, rows=g.rows * 6) for g in sheet.groups))
    for made in (sheet, many):
        document = opened(write_tutor(made, paper))
        for page in document:
            _check_page(page)
            assert TUTORS_SHEET in text_of(page)
        whole = " ".join(text_of(page) for page in document)
        for seat in lesson.everybody:
            assert seat.name[:20] in whole
        assert "local rules come first" in whole  # the cautions


def _check_page(page: pymupdf.Page) -> None:
    lines = [
        (pymupdf.Rect(span["bbox"]), span["text"], span["origin"][1], span["size"])
        for block in page.get_text("dict", flags=0)["blocks"]
        for line in block["lines"]
        for span in line["spans"]
        if span["text"].strip()
    ]
    inside = pymupdf.Rect(page.rect) + pymupdf.Rect(
        MARGIN - 1.0, MARGIN - 1.0, 1.0 - MARGIN, 1.0 - MARGIN
    )
    inks = []
    for box, text, baseline, size in lines:
        ink = pymupdf.Rect(box.x0, baseline - 0.6 * size, box.x1, baseline)
        assert inside.contains(ink), text
        for other, said in inks:
            both = ink & other
            assert both.is_empty or both.width < 0.5 or both.height < 0.5, (text, said)
        inks.append((ink, text))


def test_each_photo_of_a_lesson_is_shown_with_its_holes_and_has_a_card(lesson: Lesson) -> None:
    first, second, *rest = lesson.painting.targets
    painting = lesson.painting
    sky = OtherPhoto("sky", painting.frame, painting.balance)
    brushed = Brushed(1, second.label, "alkyd", 0.2, 0.5, (1.0, 3.0))
    painting = replace(
        painting,
        targets=(first, replace(second, photo="sky"), *rest),
        others=(sky,),
        layers=(PaintLayer(GLAZE, 20.0, (brushed,), 0.5, (1.0, 3.0), second.label),),
    )
    pictures = {**lesson.opened.pictures, picture_name("sky"): lesson.opened.pictures["balanced"]}
    opened_lesson = replace(lesson.opened, painting=painting, pictures=pictures)
    printed = Printed(replace(lesson, opened=opened_lesson))
    handout = printed.handout(lesson.seats[0])
    document = opened(write_handouts([handout]))
    assert len(document) == 6  # guesses, recipes, and photo and card for each photo
    assert [mark.number for mark in handout.photo.others[0].marks] == [2]
    first_page, recipes = text_of(document[0]), text_of(document[1])
    assert "in “sky”" in first_page
    assert "glaze, with alkyd medium, 1 part to 4 of paint" in recipes
    assert "opaque paint, to hold beside it" in recipes
    cards = [text_of(page) for page in list(document)[2:]]
    assert [": sky" in words for words in cards] == [False, False, True, True]
    for page in (*document, *opened(write_tutor(printed.tutor))):
        _check_page(page)
    assert "driers" in " ".join(printed.tutor.cautions)


def test_the_photo_is_in_the_file_once(handouts: list[Handout]) -> None:
    document = opened(write_handouts(handouts))
    pictures = {picture[0] for page in document for picture in page.get_images()}
    assert len(pictures) == 1
    assert len(document) == 4 * len(handouts)
    assert [row[1] for row in document.get_toc()] == [handout.student for handout in handouts]


def test_the_strips_greys_are_munsells_values() -> None:
    """Luminance by ASTM D1535-08e1, of which `tests/colorimetry` checks the quintic's figures."""
    for step in range(11):
        luminance = float(lab_to_xyz(grey_of(step), ICC_WHITE)[1])
        assert luminance == pytest.approx(float(luminance_from_value(step)), abs=1e-6)
