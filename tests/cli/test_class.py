"""A class at the prompt: docs/class.md, lists, refusals, and what is written over."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pymupdf
import pytest

from tests.cli.running import ROOT, SAMPLES, Shell

PAGE = (ROOT / "docs" / "class.md").read_text("utf-8")
FENCES = dict.fromkeys(re.findall(r"```(sh|text|toml)\n(.*?)\n```", PAGE, flags=re.DOTALL))


def fences(kind: str) -> list[str]:
    return [text for of, text in FENCES if of == kind]


def commands() -> list[list[str]]:
    return [shlex.split(line)[1:] for fence in fences("sh") for line in fence.splitlines()]


@pytest.fixture
def checkout(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "sample_images").symlink_to(SAMPLES)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def without_figures(line: str) -> str:
    """Blank the figures: the last digit is not the same on every machine."""
    return re.sub(r"[0-9.]+", "0", line.replace("\xa0", " ")).strip()


def test_the_pages_class_of_four(refmatch: Shell, checkout: Path) -> None:
    table, shown = fences("text")
    said = {}
    for words in commands():
        ran = refmatch(*words)
        assert ran.code == 0, ran.err
        said[words[1]] = ran.out
    printed = iter(without_figures(line) for line in said["mix"].splitlines())
    for line in shown.splitlines():  # "in printed" goes on from the line found last
        assert without_figures(line) in printed, line
    assert fences("toml")[0] in (checkout / "tuesday" / "class.toml").read_text("utf-8")
    prints = checkout / "tuesday" / "prints"
    named = {"tutor.pdf", "hand-outs.pdf", "01-anna.pdf", "02-ben.pdf", "03-cleo.pdf", "04-7.pdf"}
    assert {path.name for path in prints.iterdir()} == named
    assert len(pymupdf.open(prints / "hand-outs.pdf")) == 4 * 4
    assert all(len(pymupdf.open(prints / name)) == 4 for name in named if name[0] == "0")
    # the table of the page makes the same roll
    (checkout / "all.csv").write_text(table, "utf-8")
    assert refmatch(*commands()[0][:2], "other", *commands()[0][3:]).code == 0
    assert refmatch("class", "add", "other", "--everybody", "all.csv").code == 0
    rolls = [(checkout / name / "class.toml").read_text("utf-8") for name in ("tuesday", "other")]
    assert rolls[0].split("[[student]]")[1:] == rolls[1].split("[[student]]")[1:]


@pytest.fixture
def small(refmatch: Shell, checkout: Path) -> Path:
    words = ("sample_images/garden-table.jpg", "--hole", "983,896,60=pear", "--balance", "as-shot")
    assert refmatch("class", "new", "small", *words).code == 0
    assert refmatch("class", "add", "small", "--student", "Ann", "--box", "garden-table").code == 0
    return checkout / "small"


REFUSALS = {
    "a class there is": (("new", "small", "sample_images/garden-table.jpg"), 1, "a class in"),
    "a student there is": (("add", "small", "--student", "ann", "--tube", "PW6"), 1, "--replace"),
    "no tubes": (("add", "small", "--student", "Bea"), 2, "--tube"),
    "no name": (("add", "small", "--student", " ", "--tube", "PW6"), 1, "1 to 60 letters"),
    "the tutor": (("add", "small", "--student", "Tutor", "--tube", "PW6"), 1, "the tutor's"),
    "no such grade": (
        ("add", "small", "--student", "Bea", "--tube", "PW6", "--grade", "best"),
        1,
        "artist or student",
    ),
    "nobody": (("add", "small"), 2, "--everybody"),
    "no such list": (("add", "small", "--everybody", "none.csv"), 1, "cannot be read"),
    "no such pigment": (
        ("add", "small", "--student", "Bea", "--tube", "PW6", "--tube", "mud"),
        1,
        "The box of 'Bea'",
    ),
    "no class": (("mix", "elsewhere"), 1, "refmatch class new"),
    "no such paper": (("print", "small", "--paper", "a5"), 2, "a5"),
    "no value finder": (("print", "small", "--values", "small/class.toml"), 1, "class.toml"),
}


def test_what_is_wrong_is_told_in_one_sentence(refmatch: Shell, small: Path) -> None:
    before = (small / "class.toml").read_bytes()
    for kind, (words, code, says) in REFUSALS.items():
        ran = refmatch("class", *words)
        assert (ran.code, ran.out) == (code, ""), (kind, ran)
        assert ran.err.startswith("refmatch: "), kind
        assert ran.err.count("\n") == 1, kind
        assert says in ran.err, (kind, ran.err)
    assert (small / "class.toml").read_bytes() == before
    assert list((small / "prints").iterdir()) == []


def test_prints_are_written_over_and_nothing_else(refmatch: Shell, small: Path) -> None:
    assert refmatch("class", "print", "small").code == 0
    assert refmatch("class", "print", "small").code == 0
    box = (SAMPLES.parent / "refmatch/paint/boxes/garden-table.toml").read_bytes()
    tutor = small / "prints" / "tutor.pdf"
    tutor.write_bytes(box)
    ran = refmatch("class", "print", "small")
    assert ran.code == 1
    assert "--replace" in ran.err
    assert tutor.read_bytes() == box
    assert refmatch("class", "print", "small", "--replace").code == 0


def test_a_painting_is_a_lesson(refmatch: Shell, checkout: Path) -> None:
    """Its holes, light and key are the class's; what was mixed for it is not."""
    photo = "sample_images/garden-table.jpg"
    holes = ("--hole", "983,896,60=pear", "--hole", "1258,736,60=jug", "--hole", "900,700=cloth")
    kept = ("--painting", "table", "--plan", "--neutral", "1709,1146,38")
    assert refmatch("sheet", photo, *holes, *kept, "--out", "table.txt").code == 0
    said = refmatch("class", "new", "class", "table", "--json").json()
    assert said["targets"] == ["pear", "jug", "cloth"]
    assert (
        refmatch("class", "add", "class", "--student", "12", "--tube", "PW6", "--tube", "PBk9").code
        == 0
    )
    mixed = refmatch("class", "mix", "class", "--json").json()
    table = refmatch("plan", "table", "--json").json()
    aims = [target["lab"] for target in mixed["targets"]]
    assert aims == [target["lab"] for target in table["targets"]]
    assert mixed["students"][0]["name"] == "12"
    assert mixed["students"][0]["targets_out_of_reach"] >= 2  # greys alone reach no pear


def test_a_painting_of_several_photos_can_be_the_lesson(refmatch: Shell, checkout: Path) -> None:
    """Its other photos come with it; and the tutor's box is the class's, for demonstrations."""
    table, orchard = "sample_images/garden-table.jpg", "sample_images/orchard-shade.jpg"
    holes = ("--hole", "983,896,60=pear", "--hole", "orchard:30%,20%=bark")
    painting = ("--also", f"orchard={orchard}", *holes, "--box", "garden-table")
    kept = refmatch("sheet", table, *painting, "--painting", "two", "--out", "two.txt")
    assert kept.code == 0, kept.err
    assert refmatch("class", "new", "duo", "two").code == 0
    assert refmatch("class", "add", "duo", "--student", "Ben", "--box", "garden-table").code == 0
    mixed = refmatch("class", "mix", "duo", "--json").json()
    assert [target["label"] for target in mixed["targets"]] == ["pear", "bark"]
    shown = refmatch("demonstrate", "--box", "duo", "--only", "greyed", "--json").json()
    assert shown["box"] == "garden table"
