"""A tube of a pigment that is not known: measured, photographed, mixed with, printed, kept."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00
from refmatch.dabs.box_card import card_from_json
from refmatch.paint.box import Box, built_in_tube
from refmatch.paint.box_file import box_from_toml, box_to_toml, read_box
from refmatch.painting.store import read_painting
from refmatch.recipe.mixture import Palette
from tests.cli.running import SAMPLES, Shell
from tests.paint.test_measure import MIXED, STUDIO, TUBES, files
from tests.virtual_studio.painted_card import SMALL_SHOT, painted_photo

LIKE = "anthraquinone-crimson"
NEW = ("--tube", "PW6=white", "--tube", "PX999=mystery", "--tube", "PB29=blue", "--tube",
       "PY43=ochre", "--tube", "PBk9=black")  # fmt: skip


@pytest.mark.parametrize("written", ["PX999", "PBr7", ""])
def test_measured_it_needs_no_pigment(refmatch: Shell, tmp_path: Path, written: str) -> None:
    asked = files(tmp_path)
    rows = [row.split(",") for row in asked.plan.read_text().splitlines()]
    named = [
        [row[0], "mystery", row[2], written] if row[1] == TUBES[1].name else row for row in rows
    ]
    asked.plan.write_text("\n".join(map(",".join, named)))
    out = tmp_path / "mine.toml"
    words = ["box", "measure", asked.file, "--painted", asked.plan, "--specular", "excluded"]
    ran = refmatch(*words, "--by", "mass", "--out", out, "--json").json()
    assert [flag["name"] for flag in ran["flags"]].count("unknown_pigment") == 1
    box = read_box(out)
    assert box.tubes[1].pigments == ((written,) if written else ())
    own = delta_e_00(Palette.of(box.tubes, box.surface).lab(MIXED), STUDIO.lab(MIXED))
    assert own.max() < 1.5  # as with pigments that are known: tests/paint/test_measure.py
    assert box_to_toml(box_from_toml(box_to_toml(box))) == box_to_toml(box)


def test_a_box_by_hand_may_leave_the_pigment_out(refmatch: Shell, tmp_path: Path) -> None:
    asked = files(tmp_path)
    out = tmp_path / "mine.toml"
    words = ["box", "measure", asked.file, "--painted", asked.plan, "--specular", "excluded"]
    refmatch(*words, "--out", out)
    lines = out.read_text().splitlines()
    kept = [line for line in lines if line != f'pigments = ["{TUBES[1].pigments[0]}"]']
    assert len(kept) == len(lines) - 1
    out.write_text("\n".join(kept))
    name = TUBES[1].name
    told = refmatch("mix", "50,0,-20", "--box", out, "--json")
    assert told.code == 0, told.err
    assert refmatch("predict", f"{name}=1", "--box", out).code == 0


def test_without_a_neighbour_it_is_refused_in_one_sentence(refmatch: Shell, tmp_path: Path) -> None:
    out = tmp_path / "mine.toml"
    ran = refmatch("box", "new", *NEW, "--out", out)
    assert (ran.code, ran.out, out.exists()) == (1, "", False)
    assert '--neighbour "mystery=PIGMENT"' in ran.err
    both = ("--neighbour", "mystery=PB29", "--neighbour", "other=PB29")
    ran = refmatch("box", "new", *NEW, *both, "--out", out)
    assert (ran.code, out.exists()) == (2, False)
    assert refmatch("box", "new", *NEW, "--neighbour", "mystery", "--out", out).code == 2
    ran = refmatch("box", "new", *NEW, "--neighbour", "mystery=moonstone", "--out", out)
    assert (ran.code, out.exists()) == (1, False)


@pytest.mark.parametrize("neighbour", [LIKE, "unknown"])
def test_from_a_neighbour_to_a_sheet(refmatch: Shell, tmp_path: Path, neighbour: str) -> None:
    """The whole road; the tube is truly another maker's quinacridone magenta, near no neighbour."""
    assumed, known = tmp_path / "assumed.toml", tmp_path / "known.toml"
    made = refmatch(
        "box", "new", *NEW, "--neighbour", f"mystery={neighbour}", "--out", assumed, "--json"
    ).json()
    assert [flag["name"] for flag in made["flags"]] == ["neighbour_only"]
    card_file = tmp_path / "card.json"
    assert refmatch("card", "--box", assumed, "--out", tmp_path / "card.pdf").code == 0
    card = card_from_json(card_file.read_text("utf-8"))
    true = Box(
        "true",
        tuple(
            built_in_tube(
                "quinacridone-magenta" if tube.name == "mystery" else tube.keys[0], tube.name
            )
            for tube in read_box(assumed).tubes
        ),
    )
    photo = tmp_path / "dabs.jpg"
    photo.write_bytes(painted_photo(true, card, 17, shot=SMALL_SHOT))
    ran = refmatch(
        "box", "photograph", photo, "--card", card_file, "--box", assumed, "--out", known, "--json"
    )
    assert ran.code == 0, ran.err
    names = [flag["name"] for flag in ran.json()["flags"]]
    assert (names.count("unknown_pigment"), names.count("neighbour_only")) == (1, 0)
    box = read_box(known)
    assert box.tube("mystery").pigments == ("PX999",)
    assert box.tube("mystery").source == "photographed"

    folder, sheet = tmp_path / "painting", tmp_path / "sheet.txt"
    ran = refmatch(
        "sheet", SAMPLES / "garden-table.jpg", "--hole", "50%,50%", "--hole", "30%,60%", "--plan",
        "--box", known, "--painting", folder, "--out", sheet,
    )  # fmt: skip
    assert ran.code == 0, ran.err
    opened = read_painting(folder)
    assert box_to_toml(box_from_toml(opened.box)) == box_to_toml(box)
    (row,) = [tube for tube in opened.table if tube.name == "mystery"]
    assert row.cautions == ("unknown, see the label",)
    mixed = refmatch("mix", "45,35,-5", "--box", known, "--json").json()
    assert "mystery" in json.dumps(mixed["results"][0]["recipes"][0]["portions"])
    assert np.isfinite(mixed["results"][0]["recipes"][0]["delta_e_00"])
    for words in (["predict", "mystery=1"], ["nudge", "mystery=1", "white=2"]):
        ran = refmatch(*words, "--box", known)
        assert ran.code == 0, ran.err


def test_one_tube_alone_is_mixed_with_too(refmatch, tmp_path):
    """A student may have only white by now: there is no pair to begin with."""
    box = tmp_path / "white.toml"
    assert refmatch("box", "new", "--tube", "PW6=chalk", "--out", box).code == 0
    ran = refmatch("mix", "62,14,38", "--box", box)
    assert ran.code == 0, ran.err
    assert "Lay out 1 part of chalk" in ran.out
