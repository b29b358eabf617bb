"""``refmatch did``: what was done goes into the record, and a mistake is told in one sentence."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from refmatch.painting.done import take_back
from refmatch.painting.form import from_bytes, to_bytes
from refmatch.painting.model import Added
from refmatch.painting.record import pile_now, with_record_of, with_round
from refmatch.painting.store import open_folder, save
from tests.cli.running import Shell
from tests.painting.rounds_example import advised, boxed, keep, look, round_of

LABEL = "pear, lit side"
WHITE = Added("titanium white", 0.5, (("titanium white", 1.0),))
LET_DOWN = Added(
    "phthalo green, 1 to 9 white", 1.0, (("phthalo green", 0.1), ("titanium white", 0.9))
)


def checked(divide: bool = False):
    """A painting of three targets whose first was looked at once, with two corrections told."""
    painting, seen = boxed(), look(1)
    told = [advised(WHITE, LET_DOWN), advised(WHITE)]
    return with_round(painting, seen, round_of(painting, 0, seen, corrections=told, divide=divide))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return keep(tmp_path / "pears", checked())


def did(refmatch: Shell, folder: Path, *words: object):
    return refmatch("did", *words, "--painting", folder, "--target-label", LABEL)


def holds(folder: Path) -> dict[str, float]:
    return dict(pile_now(open_folder(folder).painting, LABEL).parts)


def test_a_correction_followed_is_in_the_puddle(refmatch: Shell, folder: Path) -> None:
    before = holds(folder)
    told = did(refmatch, folder, 1, "--json").json()
    words = ("--again", LABEL, "--painting", folder, "--amount", 5)
    again = refmatch("mix", *words, "--json").json()
    after = holds(folder)
    assert after["titanium white"] == pytest.approx(before["titanium white"] + 1.4)
    assert after["phthalo green"] == pytest.approx(before["phthalo green"] + 0.1)
    assert {row["tube"]: row["parts"] for row in told["puddle"]["portions"]} == pytest.approx(after)
    assert told["puddle"]["parts"] == pytest.approx(sum(after.values()))
    assert told["done"]["words"] == (
        "added ½ part of titanium white, then 1 part of phthalo green, 1 to 9 white"
    )
    assert told["predicted_lab"] == again["lab"]
    assert told["predicted_delta_e_00"] == again["delta_e_00"]
    assert told["replaced"] is None
    assert told["puddle"]["next_look"] == 2


def test_what_is_said_says_what_to_do_next(refmatch: Shell, folder: Path) -> None:
    ran = did(refmatch, folder, 2)
    assert ran.code == 0
    assert "added ½ part of titanium white." in ran.out
    assert "The puddle now holds 24½ titanium white + " in ran.out
    assert f"--painting {folder} --target-label '{LABEL}'" in ran.out


def test_additions_of_ones_own(refmatch: Shell, folder: Path) -> None:
    painting = open_folder(folder).painting
    before, jug = holds(folder), dict(pile_now(painting, "pear, turning").parts)
    words = ("PB29=0.25", "Titanium White=1", "phthalo green, 1 to 30 white=3.1", "core=2")
    given = [each for word in (*words, "pear, turning=1") for each in ("--added", word)]
    assert did(refmatch, folder, *given).code == 0
    after = holds(folder)
    whole = sum(jug.values())
    assert sum(after.values()) == pytest.approx(sum(before.values()) + 0.25 + 1 + 3.1 + 2 + 1)
    assert after["ultramarine blue"] == pytest.approx(0.25)
    colours = sum(parts for tube, parts in before.items() if tube != "titanium white")
    assert after["hansa yellow"] == pytest.approx(
        before["hansa yellow"] * (1 + 2 / colours) + jug["hansa yellow"] / whole
    )
    assert after["titanium white"] == pytest.approx(
        before["titanium white"] + 1 + 3 + jug.get("titanium white", 0) / whole
    )


def test_a_correction_for_a_third_divides(refmatch: Shell, tmp_path: Path) -> None:
    folder = keep(tmp_path / "pears", checked(divide=True))
    before = holds(folder)
    assert did(refmatch, folder, 2, "--divided", "--json").json()["done"]["divided"]
    assert holds(folder)["titanium white"] == pytest.approx(before["titanium white"] / 3 + 0.5)


def test_mixed_anew_is_the_recipe_and_another_pile(refmatch: Shell, folder: Path) -> None:
    recipe = holds(folder)
    did(refmatch, folder, 1)
    told = did(refmatch, folder, "--mixed-anew", "--json").json()
    assert (told["puddle"]["pile"], told["puddle"]["next_look"]) == (2, 1)
    assert told["replaced"]["additions"]
    assert holds(folder) == recipe


def test_a_pile_mixed_anew_stays_what_it_was_mixed_of(refmatch: Shell, tmp_path: Path) -> None:
    """By the recipe that a check told, by another, or by the slip's, though that may change."""
    told = (("hansa yellow", 3.0), ("titanium white", 4.0))
    painting = checked()
    painting = replace(painting, rounds=(replace(painting.rounds[0], fresh_parts=told),))
    folder = keep(tmp_path / "pears", painting)
    assert "recipe that was told" in did(refmatch, folder, "--mixed-anew").out
    assert holds(folder) == dict(told)
    ran = did(refmatch, folder, "--mixed-anew", "--added", "PB29=2", "--added", "PW6=3")
    assert "mixed it anew: 2 parts of ultramarine blue, 3 parts of titanium white." in ran.out
    assert holds(folder) == {"ultramarine blue": 2.0, "titanium white": 3.0}


def test_a_recipe_chosen_later_is_not_in_the_puddle(refmatch: Shell, folder: Path) -> None:
    recipe = holds(folder)
    did(refmatch, folder, "--mixed-anew")
    painting = open_folder(folder).painting
    save(folder, replace(painting, chosen=(1, 0, 0)))
    assert holds(folder) == recipe


def test_what_was_left_over_may_go_in_elsewhere(refmatch: Shell, folder: Path) -> None:
    whole = holds(folder)
    did(refmatch, folder, "--divided")
    third = holds(folder)
    assert did(refmatch, folder, "--divided", "--added", f"{LABEL}, left over=2").code == 0
    after, parts = holds(folder), sum(whole.values())
    for tube, share in whole.items():
        assert after[tube] == pytest.approx(third[tube] + 2 * share / parts)


def test_saying_it_again_replaces_it_and_says_so(refmatch: Shell, folder: Path) -> None:
    before = sum(holds(folder).values())
    did(refmatch, folder, 1)
    ran = did(refmatch, folder, "--added", "hansa yellow=2")
    assert "In place of what was said before: added ½ part of titanium white" in ran.out
    assert sum(holds(folder).values()) == pytest.approx(before + 2.0)


@pytest.mark.parametrize(
    ("code", "says", "words"),
    [
        (2, "Say what was done", ()),
        (2, "neither corrected nor divided", ("1", "--mixed-anew")),
        (2, "neither corrected nor divided", ("--divided", "--mixed-anew")),
        (2, "is not TUBE=PARTS", ("--added", "white")),
        (2, "is not TUBE=PARTS", ("--added", "PB29=0")),
        (2, "is not TUBE=PARTS", ("--added", "PB29=nan")),
        (2, "is for the whole puddle", ("1", "--divided")),
        (1, "no correction 3 for 'pear, lit side': corrections 1 to 2 were told", ("3",)),
        (1, "did you mean: ultramarine blue", ("--added", "ultramarin=1")),
        (1, "Nothing is left over", ("--added", "pear, turning, left over=1")),
        (1, "did you mean: phthalo green", ("--added", "phthalo gren, 1 to 9 white=1")),
    ],
)
def test_what_cannot_be_is_told_in_one_sentence(
    refmatch: Shell, folder: Path, code: int, says: str, words: tuple[str, ...]
) -> None:
    before = (folder / "painting.json").read_bytes()
    ran = did(refmatch, folder, *words)
    assert (ran.code, ran.out) == (code, "")
    (line,) = ran.err.strip().splitlines()
    assert says in line
    assert (folder / "painting.json").read_bytes() == before


@pytest.mark.parametrize(
    ("says", "label"),
    [("There is no target 'plum'", "plum"), ("No dab of 'pear, turning' was looked at yet", "2")],
)
def test_a_target_without_rounds_is_told(
    refmatch: Shell, folder: Path, says: str, label: str
) -> None:
    ran = refmatch("did", 1, "--painting", folder, "--target-label", label)
    assert (ran.code, ran.out) == (1, "")
    assert says in ran.err


def test_no_painting_is_told(refmatch: Shell, tmp_path: Path) -> None:
    ran = refmatch("did", 1, "--painting", tmp_path, "--target-label", "1")
    assert ran.code == 1
    assert "no painting in" in ran.err


MIXED = "4½ white, 1 hansa yellow, 1/4 PB29"
REALLY = {"titanium white": 4.5, "hansa yellow": 1.0, "ultramarine blue": 0.25}


def test_other_parts_are_pencilled_in_before_a_check(refmatch: Shell, tmp_path: Path) -> None:
    folder = keep(tmp_path / "pears", boxed())
    recipe = holds(folder)
    told = did(refmatch, folder, "--mixed", MIXED, "--json").json()
    assert holds(folder) == REALLY
    assert told["puddle"]["portions"] == [
        {"tube": tube, "parts": parts} for tube, parts in REALLY.items()
    ]
    assert (told["puddle"]["pile"], told["puddle"]["next_look"]) == (1, 1)
    assert told["done"]["words"].startswith("mixed it of 4½ parts of titanium white, ")
    again = did(refmatch, folder, "--mixed", "1 white", "--json").json()
    assert again["replaced"]["words"] == told["done"]["words"]
    opened = open_folder(folder).painting
    assert from_bytes(to_bytes(opened)).pencilled == opened.pencilled
    ended = refmatch("mix", "--again", LABEL, "--painting", folder, "--amount", 5)
    assert "As you said it was mixed" in ended.out
    take_back(folder, LABEL)
    assert holds(folder) == recipe
    assert b"pencilled" not in to_bytes(open_folder(folder).painting)


def test_what_is_looked_at_then_is_what_was_pencilled_in(refmatch: Shell, tmp_path: Path) -> None:
    folder = keep(tmp_path / "pears", boxed())
    assert did(refmatch, folder, "--mixed", MIXED).code == 0
    painting, seen = open_folder(folder).painting, look(1)
    assert dict(round_of(painting, 0, seen).parts) == REALLY
    other = painting.targets[1].label
    assert dict(pile_now(painting, other).parts) == dict(pile_now(boxed(), other).parts)


def test_after_a_check_it_is_another_puddle(refmatch: Shell, folder: Path) -> None:
    told = did(refmatch, folder, "--mixed", MIXED, "--json").json()
    assert (told["puddle"]["pile"], told["done"]["mixed_anew"]) == (2, True)
    assert holds(folder) == REALLY


def test_a_painting_planned_anew_keeps_what_was_pencilled_in(
    refmatch: Shell, tmp_path: Path
) -> None:
    folder = keep(tmp_path / "pears", boxed())
    assert did(refmatch, folder, "--mixed", MIXED).code == 0
    assert dict(pile_now(with_record_of(boxed(), open_folder(folder).painting), LABEL).parts) == (
        REALLY
    )


@pytest.mark.parametrize(
    ("words", "says", "code"),
    [
        (("--mixed", "white"), "no amount of a tube", 2),
        (("--mixed", "1 moonstone"), "no 'moonstone'", 1),
        (("--mixed", "1 core, 1 white"), "no core yet", 2),
        (("--mixed", "1 white", "--divided"), "leave out what else was done", 2),
    ],
)
def test_a_wrong_mix_changes_nothing(
    refmatch: Shell, tmp_path: Path, words: tuple[str, ...], says: str, code: int
) -> None:
    folder = keep(tmp_path / "pears", boxed())
    before = holds(folder)
    ran = did(refmatch, folder, *words)
    assert (ran.code, ran.out) == (code, "")
    assert says in ran.err
    assert holds(folder) == before


def test_half_parts_as_printed_go_in(refmatch: Shell, folder: Path) -> None:
    before = holds(folder)
    assert did(refmatch, folder, "--added", "½ white", "--added", "PB29=1 1/4").code == 0
    after = holds(folder)
    assert after["titanium white"] == pytest.approx(before["titanium white"] + 0.5)
    assert after["ultramarine blue"] == pytest.approx(1.25)
