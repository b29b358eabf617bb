"""The printed demonstrations: the expected colours, room to paint, nothing off the paper."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pymupdf
import pytest

from refmatch.colorimetry.display import lab_to_srgb8
from refmatch.dabs.card import PAPERS
from refmatch.errors import OutputError, UsageError
from refmatch.paint.box_file import built_in_box
from refmatch.plan.demonstrations import Demonstrated, demonstrate
from refmatch.sheet.demonstration_pages import write, write_to
from refmatch.sheet.pdf import MARGIN
from tests.sheet.test_layout import grown, words_of

LONG = "a tube whose owner gave it a name that no column is wide enough to hold, <b>not bold</b>"


def long_named() -> Demonstrated:
    box = built_in_box()
    tubes = tuple(replace(tube, name=f"{tube.name}, {LONG}") for tube in box.tubes)
    return demonstrate((), replace(box, name=LONG, tubes=tubes))


CASES = {
    "usual": demonstrate,
    "nothing to show": lambda: demonstrate(["PB29=1"], built_in_box().without(["titanium white"])),
    "long names": long_named,
}


@pytest.fixture(scope="module", params=[(c, p) for c in CASES for p in PAPERS], ids=str)
def printed(request) -> tuple[Demonstrated, pymupdf.Document]:
    case, paper = request.param
    of = CASES[case]()
    return of, pymupdf.open(stream=write(of, paper))


def fills(document: pymupdf.Document) -> set[tuple[int, ...]]:
    found = set()
    for page in document:
        for drawing in page.get_drawings():
            if drawing["fill"] is not None:
                found.add(tuple(round(255.0 * level) for level in drawing["fill"]))
    return found


def test_every_expected_colour_is_printed(printed) -> None:
    of, document = printed
    shown = fills(document)
    for step in (s for one in of.demonstrations for strip in one.strips for s in strip.steps):
        assert tuple(int(byte) for byte in lab_to_srgb8(step.lab)) in shown


def test_below_each_colour_is_an_empty_place_as_wide(printed) -> None:
    of, document = printed
    steps = [s for one in of.demonstrations for strip in one.strips for s in strip.steps]
    frames = [
        drawing["rect"]
        for page in document
        for drawing in page.get_drawings()
        if drawing["fill"] is None and drawing["rect"].height > 30.0
    ]
    assert len(frames) == len(steps)
    assert all(frame.width > 30.0 for frame in frames)


def test_words_stay_inside_the_margins_and_off_one_another(printed) -> None:
    _, document = printed
    for page in document:
        words = words_of(page)
        for box, text in words:
            assert box in grown(page.rect, 1.0 - MARGIN), (page.number, text)
        for index, (box, text) in enumerate(words):
            for other, other_text in words[index + 1 :]:
                shared = box & other
                crossed = not shared.is_empty and min(shared.width, shared.height) > 0.5
                assert not crossed, (page.number, text, other_text)


def test_what_is_not_shown_is_said_on_paper() -> None:
    of = demonstrate(["hansa yellow=1"])
    text = " ".join(page.get_text() for page in pymupdf.open(stream=write(of)))
    assert "Not shown" in text
    assert "no true complement" in " ".join(text.split())


def test_the_same_demonstrations_are_the_same_bytes() -> None:
    assert write(demonstrate()) == write(demonstrate())


def test_a_file_that_cannot_be_made_again_stays(tmp_path: Path) -> None:
    of = demonstrate((), None, ["greyed"])
    with pytest.raises(UsageError, match="demonstrations_are_pdf"):
        write_to(tmp_path / "strips.txt", of)
    with pytest.raises(OutputError, match="output_folder_missing"):
        write_to(tmp_path / "nowhere" / "strips.pdf", of)
    box = tmp_path / "strips.pdf"
    box.write_text('format = "refmatch-box"\n', "utf-8")
    with pytest.raises(OutputError, match="kept_there"):
        write_to(box, of)
    write_to(box, of, replace=True)
    assert box.read_bytes().startswith(b"%PDF")
    assert np.sum([path.name == "strips.pdf" for path in tmp_path.iterdir()]) == 1
