"""`refmatch card`, as a painter would run it."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pymupdf
import pytest

from refmatch.dabs.box_card import read_card_file
from refmatch.dabs.value_finder import read_finder
from refmatch.errors import CardError
from refmatch.paint.box import Box, built_in_tube
from refmatch.paint.box_file import box_to_toml, built_in_box, write_box
from refmatch.painting.check import dab_card_of
from refmatch.painting.store import create, read_painting, save
from tests.painting.example import asking, painting, picture
from tests.refusals import refused
from tests.virtual_studio.printer import another_printer, jpeg_of


def test_the_card_and_its_layout_are_written_side_by_side(refmatch, tmp_path):
    box = tmp_path / "mine.toml"
    write_box(box, Box("mine", (built_in_tube("PW6"), built_in_tube("PB29", "my blue"))))
    out = tmp_path / "card.pdf"
    words = ("card", "--box", box, "--out", out, "--paper", "letter", "--neutral-value", "50")
    told = refmatch(*words, "--json").json()
    assert told["card_file"] == str(tmp_path / "card.json")
    assert [(w["tube"], w["parts"], w["white_parts"]) for w in told["windows"]] == [
        ("PW6", 1, 0),
        ("my blue", 1, 0),
        ("my blue", 1, 9),
        ("my blue", 1, 30),
    ]
    card = read_card_file(tmp_path / "card.json")
    assert (card.paper, card.neutral_value, card.box_name) == ("letter", 50.0, "mine")
    assert pymupdf.open(out).page_count == 1 + card.pages
    said = refmatch(*words).out
    assert "my blue  as squeezed, 1 to 9 white, 1 to 30 white" in said
    assert "card.json" in said


def test_what_no_card_can_be_written_for(refmatch, tmp_path):
    assert refmatch("card", "--out", tmp_path / "card.png").code == 2
    assert refmatch("card", "--out", tmp_path / "card.pdf", "--paper", "a3").code == 2
    gone = refmatch("card", "--out", tmp_path / "gone" / "card.pdf")
    assert (gone.code, gone.out) == (1, "")
    assert "is not there" in gone.err
    mine = tmp_path / "card.json"
    mine.write_text('{"shopping": "white"}')
    kept = refmatch("card", "--out", tmp_path / "card.pdf")
    assert kept.code == 1
    assert "choose another name" in kept.err
    assert mine.read_text() == '{"shopping": "white"}'
    assert not (tmp_path / "card.pdf").exists()


@pytest.fixture
def pears(tmp_path):
    """A painting of three targets in its folder."""
    photo = tmp_path / "pears.png"
    photo.write_bytes(picture())
    box = box_to_toml(built_in_box("garden-table"))
    create(tmp_path / "pears", photo, asking(painting(3), box=box), {})
    return tmp_path / "pears"


def test_a_paintings_dab_card_and_its_layout_lie_in_its_folder(refmatch, pears, tmp_path):
    told = refmatch("card", "--painting", pears, "--paper", "letter", "--json").json()
    assert told["card"] == str(pears / "dab-card.pdf")
    assert told["card_file"] == str(pears / "dab-card.json")
    assert told["painting"] == "Pears under the lamp"
    assert [each["label"] for each in told["targets"]] == [
        "pear, lit side",
        "pear, turning",
        "pear, shadow",
    ]
    assert (
        told["targets"][1]["recipe"]
        == "7 hansa yellow + 8 burnt sienna + 2 phthalo green let-down (1 : 9 white)"
    )
    assert [each["tube"] for each in told["windows"]] == ["titanium white", "ivory black"]
    assert pymupdf.open(pears / "dab-card.pdf").page_count == 2
    card = dab_card_of(pears)
    assert (card.paper, len(card.targets), card.flags) == ("letter", 3, ())
    out = tmp_path / "print me.pdf"
    said = refmatch("card", "--painting", pears, "--out", out, "--neutral-value", "50").out
    assert "2  pear, turning   7 hansa yellow + 8 burnt sienna" in said
    assert f"refmatch check PHOTO --painting {pears}" in said
    assert out.is_file()
    assert dab_card_of(pears).neutral_value == 50.0


def test_a_dab_card_is_held_against_its_painting(refmatch, pears):
    with refused(CardError, match="no dab card yet"):
        dab_card_of(pears)
    refmatch("card", "--painting", pears)
    now = read_painting(pears)
    moved = replace(now.targets[0], lab=now.targets[0].lab + np.array([4.0, 0.0, 0.0]))
    save(pears, replace(now, targets=(moved, *now.targets[1:])))
    card = dab_card_of(pears)
    assert [each.target for each in card.targets] == ["pear, turning", "pear, shadow"]
    assert [flag.name for flag in card.flags] == ["target_changed"]


def test_what_no_dab_card_can_be_written_for(refmatch, pears, tmp_path):
    both = refmatch("card", "--painting", pears, "--box", tmp_path / "mine.toml")
    assert (both.code, both.out) == (2, "")
    assert "one of the two" in both.err
    assert refmatch("card").code == 2
    none = refmatch("card", "--painting", tmp_path)
    assert none.code == 1
    assert "no painting" in none.err
    assert refmatch("card", "--painting", pears, "--out", tmp_path / "card.png").code == 2
    assert refmatch("card", "--painting", pears, "--paper", "a3").code == 2
    assert not list(pears.glob("dab-card.*"))


def test_a_damaged_layout_is_refused_and_can_be_printed_anew(refmatch, pears):
    refmatch("card", "--painting", pears)
    layout = pears / "dab-card.json"
    layout.write_text(layout.read_text()[:1000])
    with refused(CardError, match="not a card file"):
        dab_card_of(pears)
    refmatch("card", "--painting", pears)
    assert len(dab_card_of(pears).targets) == 3


def test_a_value_finder_is_printed_and_measured(refmatch, tmp_path):
    """Printed by a simulated printer and photographed; the finder made for it is told by its own.

    The steps' truth is in `tests/dabs/test_value_finder.py`.
    """
    out, better = tmp_path / "values.pdf", tmp_path / "better.pdf"
    assert refmatch("card", "--values", "--out", out).code == 0
    finder, printer = read_finder(tmp_path / "values.json"), another_printer(3)
    photo = tmp_path / "print.jpg"
    photo.write_bytes(jpeg_of(printer, finder))
    told = refmatch("card", "--values", "--photo", photo)
    assert re.search(r"^ +5 prints as [67]\.\d$", told.out, re.MULTILINE), told.out
    made = refmatch("card", "--values", "--photo", photo, "--out", better, "--json").json()
    assert made["card_file"] == str(tmp_path / "better.json")
    assert [step["value"] for step in made["measured"]["steps"]] == list(range(11))
    photo.write_bytes(jpeg_of(printer, read_finder(tmp_path / "better.json")))
    again = refmatch(
        *("card", "--values", "--photo", photo, "--printed", tmp_path / "better.json", "--json")
    ).json()
    assert all(abs(one["true"] - one["value"]) < 0.3 for one in again["measured"]["steps"])


@pytest.mark.parametrize(
    "words",
    [
        ("--values",),
        ("--values", "--box", "garden-table", "--out", "x.pdf"),
        ("--photo", "x.jpg", "--out", "x.pdf"),
        ("--values", "--printed", "x.json", "--out", "x.pdf"),
    ],
)
def test_a_value_finder_asked_for_wrongly_is_told(refmatch, words):
    ran = refmatch("card", *words)
    assert ran.code == 2
    assert ran.err.count("\n") == 1
