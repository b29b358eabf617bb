"""Help by the order of the job, completion, boxes by name, and wrong usage in our own words."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.running import Shell

RUN = "from refmatch.cli.main import main\nmain()"


@pytest.mark.parametrize("words", [(), ("box",), ("sheet",), ("box", "new")])
def test_the_short_word_for_help_does_as_the_long(refmatch: Shell, words: tuple[str, ...]) -> None:
    short, long = refmatch(*words, "-h"), refmatch(*words, "--help")
    assert short == long
    assert short.code == 0


def test_commands_stand_in_the_order_of_the_job(refmatch: Shell) -> None:
    """Look, mix, paint, check: so a painting is made (common practice, no source)."""
    shown = refmatch("-h").out
    names = ["studio", "sample", "families", "box", "mix", "plan", "sheet", "card", "check", "did"]
    places = [re.search(rf"^  {name}  ", shown, flags=re.MULTILINE) for name in names]
    starts = [place.start() for place in places if place]
    assert len(starts) == len(names)
    assert starts == sorted(starts)
    assert shown.count("Example: refmatch ") == 9
    assert "..." not in shown.replace("[ARGS]...", "")


def test_the_tab_key_fills_in_options(tmp_path: Path) -> None:
    asked = {"_REFMATCH_COMPLETE": "complete_bash", "COMP_WORDS": "refmatch sheet --pag"}
    ran = subprocess.run(
        [
            sys.executable,
            "-c",
            f"import sys; sys.argv = ['refmatch']\n{RUN}",
        ],
        env={**os.environ, **asked, "COMP_CWORD": "2"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.stdout.split() == ["--pages"], ran.stderr


def test_a_box_that_comes_with_refmatch_is_called_by_its_name(
    refmatch: Shell, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Even where the painter's folder of that name, of a painting, lies there."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "garden-table").mkdir()
    assert refmatch("mix", "50,10,10", "--box", "garden-table") == refmatch("mix", "50,10,10")


@pytest.mark.parametrize(
    ("says", "words"),
    [
        ("did you mean --families", ("sheet", "a.jpg", "--familie", "3")),
        ("did you mean sheet", ("sheets",)),
        ("with --palette", ("plan", "a.jpg", "--tubes", "5")),
        ("--families N takes a whole number", ("families", "a.jpg", "--families", "x")),
        ("--count N takes at most 20", ("box", "advise", "--count", "99")),
        ("needs --out FILE", ("sheet", "a.jpg")),
        ("needs PHOTO", ("families",)),
        ("--total needs something after it", ("mix", "50,0,0", "--total")),
        ("no place for 'b.jpg'", ("families", "a.jpg", "b.jpg")),
        ("'red' is not a colour", ("mix", "red")),
    ],
)
def test_wrong_usage_is_one_sentence_of_ours(
    refmatch: Shell, says: str, words: tuple[str, ...]
) -> None:
    ran = refmatch(*words)
    assert (ran.code, ran.out) == (2, "")
    (line,) = ran.err.strip().splitlines()
    assert line.startswith("refmatch: ")
    assert says in line
    assert not re.search(r"Error|Invalid|Usage|argument", line)


def test_a_box_that_is_no_toml_tells_line_and_column(refmatch: Shell, tmp_path: Path) -> None:
    """TOML 1.0: a basic string ends with a quotation mark on its own line."""
    (tmp_path / "mine.toml").write_text('format = "refmatch-box"\nname = "mine\n')
    ran = refmatch("mix", "50,0,0", "--box", tmp_path / "mine.toml")
    assert ran.code == 1
    assert "line 2, column 13" in ran.err
    assert "quotation mark" in ran.err
