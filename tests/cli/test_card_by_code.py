"""A photo of a painted card makes a box, and no file of the card is asked for."""

from __future__ import annotations

import json
from pathlib import Path

from refmatch.dabs.box_card import compose
from refmatch.paint.box import Box, built_in_tube
from refmatch.paint.box_file import write_box
from tests.cli.running import Shell
from tests.dabs.coded import with_code
from tests.virtual_studio.painted_card import SMALL_SHOT, painted_photo

BOX = Box(
    "three of mine",
    tuple(
        built_in_tube(pigment, name)
        for pigment, name in (
            ("titanium-white", "white"),
            ("yellow-ochre", "ochre"),
            ("ultramarine-blue", "blue"),
        )
    ),
)
SEED = 203


def test_the_code_or_else_the_box_tells_which_card_it_is(refmatch: Shell, tmp_path: Path) -> None:
    card = compose(BOX)
    plain, coded, box = tmp_path / "plain.jpg", tmp_path / "coded.jpg", tmp_path / "box.toml"
    photo = painted_photo(BOX, card, SEED, shot=SMALL_SHOT)
    plain.write_bytes(photo)
    coded.write_bytes(with_code(photo, card))
    write_box(box, BOX)
    found = []
    for name, words in (
        ("by-code", [coded]),
        ("by-box", [plain, "--box", box]),
        ("by-both", [coded, "--box", box]),
    ):
        out = tmp_path / f"{name}.toml"
        told = refmatch("box", "photograph", *map(str, words), "--out", str(out), "--json")
        assert told.code == 0, told.err
        found.append(json.loads(told.out)["dabs"])
    assert [dab["label"] for dab in found[0]] == [dab["label"] for dab in found[1]]
    assert found[0] == found[2], "the code's own tubes are the box's"


def test_a_card_that_nothing_tells_of_is_refused(refmatch: Shell, tmp_path: Path) -> None:
    photo = tmp_path / "plain.jpg"
    photo.write_bytes(painted_photo(BOX, compose(BOX), SEED, shot=SMALL_SHOT))
    out = tmp_path / "box.toml"
    told = refmatch("box", "photograph", str(photo), "--out", str(out))
    assert told.code == 1
    assert "neither its code nor the box tells which" in told.err
    assert "the box that it was printed for" in " ".join(told.err.split())
    assert not out.exists()
