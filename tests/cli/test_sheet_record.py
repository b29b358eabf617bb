"""A sheet printed from its folder tells what was seen of its puddles, and teaches where asked."""

from __future__ import annotations

from pathlib import Path

import pytest

from refmatch.painting.record import with_round
from refmatch.painting.store import open_folder, save
from tests.cli.running import Shell
from tests.painting.rounds_example import boxed, keep, look, round_of


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    painting, seen = boxed(), look(1)
    return keep(tmp_path / "pears", with_round(painting, seen, round_of(painting, 0, seen)))


def test_a_folder_is_printed_as_it_is_with_its_history(refmatch: Shell, folder: Path) -> None:
    out = folder.parent / "sheet.txt"
    told = refmatch("sheet", folder, "--out", out, "--json").json()
    written = out.read_text("utf-8")
    assert "28 November 2026: " in written
    assert "NUDGES" not in written
    assert [len(target["rounds"]) for target in told["targets"]] == [1, 0, 0]
    (each,) = told["targets"][0]["rounds"]
    assert each["photo"] == look(1).photo.file
    assert each["done"] is None
    assert each["portions"][0] == {"tube": "titanium white", "parts": 24.0}


def test_nudges_are_added_and_the_plan_stays_as_it_was(refmatch: Shell, folder: Path) -> None:
    plain, out = folder.parent / "plain.txt", folder.parent / "sheet.txt"
    refmatch("sheet", folder, "--out", plain)
    assert refmatch("sheet", folder, "--out", out, "--nudges").code == 0
    written = out.read_text("utf-8")
    start, end = written.index("NUDGES"), written.index("CARE")
    assert written[:start] + written[end:] == plain.read_text("utf-8")
    assert "white alone:" in written[start:end]


def test_a_new_plan_of_a_folder_keeps_its_record(refmatch: Shell, folder: Path) -> None:
    out = folder.parent / "sheet.txt"
    ran = refmatch("sheet", folder, "--hole", "270,300=pear, lit side", "--out", out,
                   "--painting", folder)  # fmt: skip
    assert ran.code == 0, ran.err
    assert "28 November 2026: " in out.read_text("utf-8")
    assert len(open_folder(folder).painting.rounds) == 1


def test_a_number_is_no_name_in_another_plan(refmatch: Shell, folder: Path) -> None:
    """A hole that is only numbered keeps its record where it is; another 1 is another hole."""
    out = folder.parent / "sheet.json"
    places = ("--hole", "270,300,30", "--hole", "500,400,30")
    plan = ("sheet", folder, "--out", out, "--painting", folder)
    refmatch(*plan, *places)
    painting, seen = open_folder(folder).painting, look(2)
    save(folder, with_round(painting, seen, round_of(painting, 0, seen)))

    def rounds(*words: object) -> list[int]:
        told = refmatch(*plan, *words, "--json").json()
        return [len(target["rounds"]) for target in told["targets"]]

    assert rounds(*places) == [1, 0]
    assert rounds("--hole", "500,400,30") == [0]
    assert rounds("--hole", "600,300,30", *places) == [0, 1, 0]
