"""`refmatch card`, as a painter would run it."""

from __future__ import annotations

import pymupdf

from refmatch.card.form import read_card_file
from refmatch.paint.box import Box, built_in_tube
from refmatch.paint.box_file import write_box


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
