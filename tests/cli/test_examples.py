"""Every example that help and documents give is a command that runs, on files that are there."""

from __future__ import annotations

import json
import re
import shlex
import shutil
from pathlib import Path
from typing import Any

import pytest
import typer.main

from refmatch.cli.help import example_of
from refmatch.cli.main import app
from tests.cli.running import ROOT, SAMPLES, Shell
from tests.paint.test_measure import files

PAGES = [ROOT / "README.md", *sorted(ROOT.glob("docs/*.md"))]
TESTED_ELSEWHERE = {"own-tubes.md": "tests/cli/test_own_tubes.py runs its five commands in order"}

UNTIL_STOPPED = "studio"
"""It serves a page until it is stopped: `tests/web` and `tests/browser` do that."""

NEEDS_DAMAGE = "painting rescue"
"""A painting that is whole is not rescued: `tests/painting/test_damaged.py` damages some."""


def commands() -> dict[str, Any]:
    rows: dict[str, Any] = {}
    for name, command in typer.main.get_command(app).commands.items():  # type: ignore[attr-defined]
        inner = getattr(command, "commands", None)
        rows |= {f"{name} {one}": inner[one] for one in inner} if inner else {name: command}
    return rows


def fenced(page: Path) -> list[str]:
    """Return the commands in a page's fences, without what is said after a #."""
    fences = re.findall(r"```sh\n(.*?)```", page.read_text("utf-8"), flags=re.DOTALL)
    lines = [part for fence in fences for line in fence.splitlines() for part in line.split("&&")]
    typed = [line.split("  #")[0].strip().removeprefix(".venv/bin/") for line in lines]
    return [line.removeprefix("refmatch ") for line in typed if line.startswith("refmatch ")]


def inline(page: Path) -> list[str]:
    """Return the commands within a page's sentences that say more than their name."""
    text = re.sub(r"```.*?```", "", page.read_text("utf-8"), flags=re.DOTALL)
    spans = (" ".join(span.split()) for span in re.findall(r"`([^`]+)`", text))
    spans = (span.removeprefix("refmatch ") for span in spans if span.startswith("refmatch "))
    return [
        span
        for span in spans
        if span not in commands() and not span.startswith("-") and "..." not in span
    ]


HELP = [example_of(command).removeprefix("refmatch ") for command in commands().values()]
RUN = [
    line
    for line in dict.fromkeys(
        [line for page in PAGES if page.name not in TESTED_ELSEWHERE for line in fenced(page)]
        + HELP
    )
    if not line.startswith((UNTIL_STOPPED, NEEDS_DAMAGE))
]
INLINE = sorted({line for page in PAGES for line in inline(page)})


def place_of(line: str) -> int:
    """Return when a command's turn is: what makes a file comes before what reads it."""
    makes = ("box new", "card --box", "sheet", "card --painting", "check", "did", "box learn")
    return next((i for i, start in enumerate(makes) if line.startswith(start)), len(makes))


@pytest.fixture(scope="module")
def checkout(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder like the checkout, with the files of a painter's own that examples name."""
    folder = tmp_path_factory.mktemp("checkout")
    (folder / "sample_images").symlink_to(SAMPLES)
    shutil.copy(SAMPLES / "garden-table.jpg", folder / "photo.jpg")
    asked = files(folder)
    for made, named in ((asked.file, "swatches.txt"), (asked.plan, "plan.csv")):
        if Path(made).name != named:
            shutil.copy(made, folder / named)
    return folder


def test_every_example_runs(checkout: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """In one folder, as a painter would who types them all."""
    monkeypatch.chdir(checkout)
    refmatch = Shell()
    own_tubes = fenced(ROOT / "docs" / "own-tubes.md")
    begun = [line for line in own_tubes if line.startswith(("box new", "card"))]
    for line in [*begun, *sorted(RUN, key=place_of)]:
        words = shlex.split(line)
        for option in ("--out", "--painting"):
            if words[0] in ("sheet", "box") and option in words:
                _put_away(checkout / words[words.index(option) + 1], option, words)
        ran = refmatch(*words)
        assert ran.code == 0, f"{line}: {ran.err}"


def _put_away(path: Path, option: str, words: list[str]) -> None:
    """Let an example make anew what an earlier one made under the same name."""
    if option == "--out" and words[:2] != ["box", "learn"]:
        path.unlink(missing_ok=True)
    elif words[0] == "sheet" and path.is_dir():
        shutil.rmtree(path)


@pytest.mark.parametrize("line", INLINE)
def test_a_command_within_a_sentence_is_written_rightly(line: str) -> None:
    """It may stand for others, with words in capitals such as PHOTO; each option is there."""
    words = shlex.split(line.replace("--families N", "--families 5"))
    name = " ".join(words[:2]) if words[0] in ("box", "class", "painting") else words[0]
    assert name in commands(), line
    known = {option for one in commands()[name].params for option in one.opts}
    assert {word for word in words if word.startswith("--")} <= known | {"--help"}, line


def test_examples_point_at_what_they_name() -> None:
    """The centre of each named hole is that thing in the rendered scene, by its own list."""
    truth = json.loads((SAMPLES / "garden-table.json").read_text("utf-8"))
    places = [(place["label"], place["x_px"], place["y_px"]) for place in truth["places"]]
    named = {match for line in [*HELP, *RUN] for match in re.findall(r"(\d+),(\d+),60=(\w+)", line)}
    assert named
    for x_px, y_px, label in named:
        near = min(places, key=lambda row: abs(row[1] - int(x_px)) + abs(row[2] - int(y_px)))
        assert label in near[0], (label, near)
        assert abs(near[1] - int(x_px)) + abs(near[2] - int(y_px)) < 200
