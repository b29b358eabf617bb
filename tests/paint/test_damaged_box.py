"""A box file edited by hand, or damaged: one sentence that names the file and the key."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from refmatch.errors import BoxError
from refmatch.paint.box_file import box_from_toml, box_to_toml, built_in_box, read_box
from refmatch.say.sentence import sentence_of
from tests.refusals import refused

WRONG = (
    '"words"',
    "[]",
    "true",
    "-1.0",
    "nan",
    "inf",
    "-inf",
    "1" + "0" * 400,
    "1" + "0" * 5000,
    "[[1.0, 2.0], [3.0]]",
    "1979-05-27",
    "{ a = 1 }",
    "[" * 3000 + "]" * 3000,
)

MEASURED = f"""
format = "refmatch-box"
version = 1
name = "orchard"
parts = "volume"

[[tube]]
name = "chalk"
pigments = ["PW6"]
source = "measured"
grade = "artist"
absorption = {[0.1] * 31}
scattering = {[1.0] * 31}
k1 = 0.04
k2 = 0.6
doubt = 0.05
doubt_in_colours = 0.1
swatches = 3
modes = [{[0.01] * 62}]
residual_delta_e_00 = 0.4
flags = [{{ name = "few_swatches", values = {{ count = 3 }} }}]

[[tube]]
name = "blue"
source = "mixture"
portions = [{{ pigment = "PB29", parts = 1.0 }}]
strength = 1.0

[[tube]]
name = "green"
pigments = []
neighbour = "phthalo-green"

[camera]
weights = 3
ways = []
"""


def test_the_box_is_whole_but_for_its_camera():
    with refused(BoxError, match="camera"):
        box_from_toml(MEASURED)
    assert len(box_from_toml(MEASURED.partition("[camera]")[0]).tubes) == 3


@pytest.mark.parametrize("wrong", WRONG, ids=lambda wrong: wrong[:12])
@pytest.mark.parametrize("text", [MEASURED.partition("[camera]")[0], box_to_toml(built_in_box())])
def test_a_wrong_value_of_any_key_is_a_sentence(tmp_path: Path, text: str, wrong: str):
    path, refusals = tmp_path / "orchard.toml", 0
    rows = list(re.finditer(r"^(\w+) = .*$", text, flags=re.MULTILINE))
    first = {row[1]: row for row in reversed(rows)}
    for row in first.values():
        path.write_text(f"{text[: row.start()]}{row[1]} = {wrong}{text[row.end() :]}", "utf-8")
        try:
            read_box(path)
        except BoxError as error:
            refusals += 1
            said = sentence_of(error)
            assert "\n" not in said
            assert "orchard" in said or "grade" in said or "pigment" in said, said
    assert refusals >= len(first) // 3


@pytest.mark.parametrize("key", ["k1", "doubt", "swatches", "source", "grade", "flags"])
def test_the_key_is_named(key: str):
    text = re.sub(rf"^{key} = .*$", f"{key} = [1]", MEASURED, count=1, flags=re.MULTILINE)
    with refused(BoxError, match=rf"'{key} of the tube chalk'"):
        box_from_toml(text.partition("[camera]")[0])


@pytest.mark.parametrize("tube", ["[1, 2]", "3", '"blue"', "[[]]"])
def test_tubes_that_are_no_tables(tube: str):
    with refused(BoxError, match="tube"):
        box_from_toml(f'format = "refmatch-box"\nversion = 1\ntube = {tube}\n')
