"""What cannot be made again is written over by no command, unless it is told to."""

from __future__ import annotations

import contextlib
import json
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from typer.main import get_command

from refmatch.cli.main import app
from refmatch.disk import write_whole
from refmatch.errors import OutputError
from refmatch.painting import store
from refmatch.painting.outputs import check_replaceable
from tests.cli.running import Ran, Shell
from tests.painting import example
from tests.refusals import refused

PHOTO = Path(__file__).parents[2] / "sample_images" / "garden-table.jpg"


def run(*words: object, within: Path) -> Ran:
    """Run a command in a folder."""
    with contextlib.chdir(within):
        return Shell()(*words)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a small photo, a painting, a box and a card."""
    folder = tmp_path_factory.mktemp("made")
    with Image.open(PHOTO) as whole:
        whole.resize((160, 120)).save(folder / "photo.jpg")
    (folder / "pears.png").write_bytes(example.picture())
    store.create(folder / "pears", folder / "pears.png", example.painting(1), example.pictures())
    tubes = ("--tube", "PW6", "--tube", "PB29")
    assert run("box", "new", *tubes, "--out", "box.toml", within=folder).code == 0
    card = run("card", "--box", "box.toml", "--out", "card.pdf", within=folder)
    assert card.code == 0, card.err
    (folder / "accounts.json").write_text("[1, 2]")
    hole = ("--hole", "80,60,20=pear", "--balance", "as-shot")
    new = run("class", "new", "tuesday", "photo.jpg", *hole, "--box", "box.toml", within=folder)
    assert new.code == 0, new.err
    one = ("--student", "Ann", "--box", "box.toml")
    assert run("class", "add", "tuesday", *one, within=folder).code == 0
    return folder


@pytest.fixture
def folder(made: Path, tmp_path: Path) -> Path:
    return shutil.copytree(made, tmp_path / "made")


KEPT = (
    ("sheet", "photo.jpg", "--families", "2", "--out", "card.json"),
    ("sheet", "photo.jpg", "--families", "2", "--out", "accounts.json"),
    ("sheet", "photo.jpg", "--families", "2", "--out", "pears/painting.json"),
    ("sheet", "photo.jpg", "--families", "2", "--out", "pears/states/000001.json"),
    ("sample", "photo.jpg", "--card-out", "pears/pears.png"),
    ("families", "photo.jpg", "--values-out", "pears/pears.png"),
    ("families", "photo.jpg", "--masses-out", "pears/pears.png"),
    ("card", "--box", "box.toml", "--out", "accounts.pdf"),
    ("card", "--box", "box.toml", "--out", "card.pdf", "--short", "--paper", "letter"),
    ("box", "new", "--tube", "PW6", "--out", "box.toml"),
    ("box", "measure", "none.txt", "--painted", "none.csv", "--out", "box.toml"),
    ("box", "photograph", "photo.jpg", "--card", "card.json", "--out", "box.toml"),
    ("box", "learn", "--painting", "pears", "--out", "box.toml"),
)


@pytest.mark.parametrize("words", KEPT, ids=lambda words: " ".join(words[:1] + words[-2:]))
def test_no_command_writes_over_it(folder: Path, words: tuple[str, ...]) -> None:
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    answer = run(*words, within=folder)
    assert answer.code == 1, answer.out
    assert "already there" in answer.err
    assert "--replace" in answer.err
    assert answer.err.count("\n") == 1
    after = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    assert after == before


OUTS = {
    "sample --card-out": (("sample", "photo.jpg", "--hole", "80,60,20=pear"), ".png"),
    "families --values-out": (("families", "photo.jpg", "--families", "2"), ".png"),
    "families --squint-out": (("families", "photo.jpg", "--families", "2"), ".png"),
    "families --masses-out": (("families", "photo.jpg", "--families", "2"), ".png"),
    "sheet --out": (("sheet", "photo.jpg", "--families", "2"), ".txt"),
    "card --out": (("card", "--box", "box.toml", "--short"), ".pdf"),
    "canvas --out": (("canvas", "photo.jpg", "--painting", "pears"), ".pdf"),
    "demonstrate --out": (("demonstrate", "--box", "box.toml", "--only", "lightened"), ".pdf"),
    "box new --out": (("box", "new", "--tube", "PW6"), ".toml"),
    "box measure --out": (("box", "measure", "none.txt", "--painted", "none.csv"), ".toml"),
    "box photograph --out": (("box", "photograph", "photo.jpg", "--card", "card.json"), ".toml"),
    "box learn --out": (("box", "learn", "--painting", "pears"), ".toml"),
    "class print --out": (("class", "print", "tuesday"), ""),
}
"""Every option that says where to write: words to go with it, and a form that it takes."""

PRECIOUS = (
    "card.json",
    "box.toml",
    "pears/painting.json",
    "pears/pears.png",
    "tuesday/class.toml",
    "tuesday/lesson/photo.jpg",
    "photo.jpg",
)


def outs(group: Any, *names: str) -> Iterator[str]:
    for name, command in group.commands.items():
        if hasattr(command, "commands"):
            yield from outs(command, *names, name)
        else:
            options = (option for each in command.params for option in each.opts)
            for option in options:
                if option == "--out" or option.endswith("-out"):
                    yield " ".join((*names, name, option))


def test_every_option_that_says_where_is_tried() -> None:
    assert set(outs(get_command(app))) == set(OUTS)


@pytest.mark.parametrize("name", OUTS)
def test_nothing_precious_is_written_over_nor_through_a_link(folder: Path, name: str) -> None:
    """A link's own place may be taken by a print, never what it leads to."""
    words, form = OUTS[name]
    option = name.rpartition(" ")[2]
    for number, kept in enumerate(PRECIOUS):
        before = (folder / kept).read_bytes()
        answer = run(*words, option, kept, within=folder)
        assert answer.code in (1, 2), (kept, answer.out)
        assert len([line for line in answer.err.splitlines() if line[:1] != "!"]) == 1
        assert (folder / kept).read_bytes() == before
        link = folder / f"link-{number}{form}"
        link.symlink_to(folder / kept)
        answer = run(*words, option, link.name, within=folder)
        assert "Traceback" not in answer.err
        assert (folder / kept).read_bytes() == before, kept
        if form == ".toml" and name != "box photograph --out":
            assert answer.code == 1


def test_it_goes_where_it_is_asked_to(folder: Path) -> None:
    new = ("box", "new", "--tube", "PW6", "--out", "box.toml")
    assert run(*new, "--replace", within=folder).code == 0
    assert "PB29" not in (folder / "box.toml").read_text()
    sheet = ("sheet", "photo.jpg", "--families", "2", "--out", "card.json", "--replace")
    assert run(*sheet, within=folder).code == 0
    assert "refmatch_version" in json.loads((folder / "card.json").read_bytes())


def test_what_is_made_again_is_written_over(tmp_path: Path) -> None:
    for name, data in (
        ("sheet.pdf", b"%PDF"),
        ("sheet.txt", b"words"),
        ("card.png", b"\x89PNG"),
        ("sheet.json", b'{"refmatch_version": "1"}'),
        ("new.toml", None),
    ):
        if data is not None:
            write_whole(tmp_path / name, data)
        check_replaceable(tmp_path / name)
    (tmp_path / "box").write_text('format = "refmatch-box"\n')
    with refused(OutputError, match="a box of tubes"):
        check_replaceable(tmp_path / "box")


def test_the_same_card_again_harms_nothing(folder: Path) -> None:
    again = ("card", "--box", "box.toml", "--out", "card.pdf")
    assert run(*again, within=folder).code == 0
