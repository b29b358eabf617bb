"""``refmatch mix --again``: the same puddle weeks later."""

from __future__ import annotations

from pathlib import Path

import pytest

from refmatch.painting.record import with_round
from refmatch.painting.store import open_folder
from tests.cli.running import Shell
from tests.painting.rounds_example import boxed, keep, look, round_of

LABEL = "pear, lit side"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    painting, seen = boxed(), look(1)
    return keep(tmp_path / "pears", with_round(painting, seen, round_of(painting, 0, seen)))


def test_it_says_how_much_of_what(refmatch: Shell, folder: Path) -> None:
    words = ("mix", "--again", LABEL, "--painting", folder, "--amount", 20)
    told = refmatch(*words, "--json").json()
    assert told["from"] == "last pile"
    assert told["target"]["label"] == LABEL
    assert sum(row["volume_ml"] for row in told["portions"]) == pytest.approx(20.0, abs=1e-3)
    assert told["last_seen"]["date"] == "2026-11-28"
    assert {flag["name"] for flag in told["flags"]} == {"generic_curves"}
    assert [step["tube"] for step in told["steps"] if step["tube"]]
    ran = refmatch(*words)
    assert "12.3 ml  titanium white" in ran.out
    assert "Seen on 2026-11-28" in ran.out
    assert "generic curves" in ran.err


def test_by_another_box_it_is_the_colour_that_predict_says(
    refmatch: Shell, folder: Path, tmp_path: Path
) -> None:
    box = tmp_path / "box.toml"
    box.write_text(open_folder(folder).painting.box, "utf-8")
    words = ("mix", "--again", 1, "--painting", folder, "--amount", 5, "--box", box, "--json")
    told = refmatch(*words).json()
    parts = [f"{row['tube']}={row['parts']}" for row in told["portions"]]
    assert told["lab"] == refmatch("predict", *parts, "--box", box, "--json").json()["lab"]
    assert told["lab_from"] == "box"


@pytest.mark.parametrize(
    ("code", "says", "words"),
    [
        (2, "or --again LABEL for a puddle", ()),
        (2, "not both", ("50,0,0", "--again", LABEL, "--painting", "?", "--amount", 5)),
        (2, "--painting FOLDER --amount ML", ("--again", LABEL, "--painting", "?")),
        (2, "--painting FOLDER --amount ML", ("--again", LABEL, "--amount", 5)),
        (2, "go with --again", ("50,0,0", "--amount", 5)),
        (2, "have no say", ("--again", LABEL, "--painting", "?", "--amount", 5, "--tubes", 3)),
        (2, "millilitres above 0", ("--again", LABEL, "--painting", "?", "--amount", 0)),
        (1, "no target 'plum'", ("--again", "plum", "--painting", "?", "--amount", 5)),
        (1, "no painting in", ("--again", LABEL, "--painting", "nowhere", "--amount", 5)),
    ],
)
def test_wrong_use_is_told(
    refmatch: Shell, folder: Path, code: int, says: str, words: tuple[object, ...]
) -> None:
    ran = refmatch("mix", *(folder if word == "?" else word for word in words))
    assert (ran.code, ran.out) == (code, "")
    (line,) = ran.err.strip().splitlines()
    assert says in line
