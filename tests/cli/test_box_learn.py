"""``refmatch box learn``: what the dabs taught, what was left out and why, and taking it back."""

from __future__ import annotations

from dataclasses import replace

import pytest

from refmatch.painting.states import NAME
from refmatch.painting.store import read_painting, save
from tests.cli.running import Shell
from tests.painting.learning_example import a_table, kept, looked_at, planned
from tests.virtual_studio.piles import DAB_IN_SHADE

RIGHT = 5


@pytest.fixture(scope="module")
def looked():
    """A painting with five good photos of dabs, and one in the shade."""
    table = a_table()
    painting = planned(table)
    for place in range(RIGHT):
        painting = looked_at(painting, table, place)
    return looked_at(painting, table, RIGHT, wrong=DAB_IN_SHADE)


@pytest.fixture
def folder(tmp_path, looked):
    return kept(tmp_path / "table", looked)


def test_what_was_learnt_is_told_and_taken_back(refmatch: Shell, folder) -> None:
    before = read_painting(folder)
    told = refmatch("box", "learn", "--painting", folder, "--json").json()
    assert told["is_updated"]
    assert len(told["taken_in"]) >= RIGHT - 1
    assert [each["name"] for each in told["left_out"]] == ["surprising"]
    assert told["left_out"][0]["targets"] == [before.targets[RIGHT].label]
    assert told["left_out"][0]["photo"].startswith("checks/")
    assert told["mixed_anew"] == [before.targets[RIGHT + 1].label]
    assert [each["stands"] for each in told["updates"]] == [True]
    for each in told["changes"]:
        assert each["words"].startswith(f"your {each['tube']} is ")
        assert each["is_other"] == ("as far as these photos tell" not in each["words"])
    again = refmatch("box", "learn", "--painting", folder, "--json").json()
    assert not again["is_updated"]
    back = refmatch("box", "learn", "--painting", folder, "--undo", "--json").json()
    assert back["taken_back"]["changes"] == told["changes"]
    assert [each["stands"] for each in back["updates"]] == [False]
    assert read_painting(folder).box == before.box


def test_people_read_sentences(refmatch: Shell, folder, tmp_path) -> None:
    out = tmp_path / "learnt.toml"
    ran = refmatch("box", "learn", "--painting", folder, "--out", out)
    assert ran.code == 0
    assert "Learnt from " in ran.out
    assert "    your " in ran.out
    assert "Left out:\n    the photo of " in ran.out
    assert f"--painting {folder} --undo" in ran.out
    assert out.read_text("utf-8") == read_painting(folder).box
    ran = refmatch("box", "learn", "--painting", folder, "--undo")
    assert ran.out.startswith("Taken back what was learnt on ")
    ran = refmatch("box", "learn", "--painting", folder, "--undo")
    assert (ran.code, ran.out) == (1, "")
    assert "learnt nothing" in ran.err


def test_it_learns_by_itself_once_switched_on(refmatch: Shell, folder) -> None:
    ran = refmatch("box", "learn", "--painting", folder, "--automatic", "on")
    assert "after every check" in ran.out
    assert read_painting(folder).learns
    assert read_painting(folder).learnings
    told = refmatch("box", "learn", "--painting", folder, "--automatic", "off", "--json").json()
    assert not told["automatic"]
    assert told["taken_in"] == []


def test_switching_on_before_the_first_look_is_no_mistake(refmatch: Shell, folder, looked) -> None:
    save(folder, replace(looked, looks=(), rounds=()))
    ran = refmatch("box", "learn", "--painting", folder, "--automatic", "on")
    assert ran.code == 0
    assert read_painting(folder).learns
    ran = refmatch("box", "learn", "--painting", folder)
    assert (ran.code, ran.out) == (1, "")
    assert "nothing to learn from" in ran.err


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("--automatic", "perhaps"), 2, "on or off"),
        (("--undo", "--automatic", "off"), 2, "--undo"),
        (("--out", "{out}"), 1, "already there"),
    ],
)
def test_mistakes_are_told_and_change_nothing(
    refmatch: Shell, folder, tmp_path, words, code, says
) -> None:
    (tmp_path / "there.toml").write_text("mine")
    before = (folder / NAME).read_bytes()
    words = [word.format(out=tmp_path / "there.toml") for word in words]
    ran = refmatch("box", "learn", "--painting", folder, *words)
    assert (ran.code, ran.out) == (code, "")
    assert says in ran.err
    assert (folder / NAME).read_bytes() == before


def test_no_painting_is_told(refmatch: Shell, tmp_path) -> None:
    ran = refmatch("box", "learn", "--painting", tmp_path / "nowhere")
    assert ran.code == 1
    assert "no painting" in ran.err
