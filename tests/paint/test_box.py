"""A painter's box: names, files, and what is said of a wrong one."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from refmatch.cli.remedies import REMEDIES
from refmatch.errors import BoxError, OutputError, UnknownTube
from refmatch.paint.box import Box, built_in_tube, mixed_tube
from refmatch.paint.box_file import box_from_toml, box_to_toml, built_in_box, read_box, write_box
from refmatch.paint.library import pigments
from refmatch.say.sentence import sentence_of
from tests.refusals import refused

HEAD = 'format = "refmatch-box"\nversion = 1\n'


def test_the_box_that_comes_along_holds_a_dozen_tubes_and_a_white() -> None:
    box = built_in_box()
    assert len(box.tubes) == 12
    assert box.white.name == "titanium white"


def test_a_tube_is_found_by_its_name_or_by_the_pigment_it_holds_alone() -> None:
    box = built_in_box()
    assert box.tube("Ultramarine") is box.tube("PB29")
    assert box.tube("ultramarine-blue") is box.tube("ultramarine")
    with refused(UnknownTube, match=r"did you mean: .*cerulean blue"):
        box.tube("cerulian blue")


def test_a_box_reads_back_as_written(tmp_path: Path) -> None:
    tubes = (
        built_in_tube("PW6", "my white"),
        built_in_tube("PB29", "Ζωγράφος", grade="student"),
        built_in_tube("sap-green-hue"),
        mixed_tube("half and half", [("PY74", 1.0), ("PR254", 3.0)], strength=0.8),
    )
    box = Box("orchard", tubes)
    write_box(tmp_path / "box.toml", box)
    again = read_box(tmp_path / "box.toml")
    assert [tube.name for tube in again.tubes] == [tube.name for tube in tubes]
    for ours, theirs in zip(tubes, again.tubes, strict=True):
        np.testing.assert_allclose(ours.absorption, theirs.absorption)
        np.testing.assert_allclose(ours.scattering, theirs.scattering)
        assert (ours.grade, ours.strength) == (theirs.grade, theirs.strength)
    assert box_to_toml(again) == box_to_toml(box)


def test_a_measured_tube_keeps_its_own_curves() -> None:
    row = 'name = "x"\npigments = ["PB29"]\nsource = "measured"\nk1 = 0.04\nk2 = 0.6\n'
    curve = ", ".join(["0.5"] * 31)
    text = f"{HEAD}[[tube]]\n{row}absorption = [{curve}]\nscattering = [{curve}]\n"
    box = box_from_toml(text)
    assert box.surface.k1 == 0.04
    assert np.all(box.tubes[0].absorption == 0.5)
    assert box_to_toml(box_from_toml(box_to_toml(box))) == box_to_toml(box)


def test_a_students_grade_tints_less() -> None:
    artist, student = built_in_tube("PB29"), built_in_tube("PB29", grade="student")
    np.testing.assert_allclose(student.absorption, 0.6 * artist.absorption)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "lacks the line format"),
        ("format = ", "cannot be read as a box"),
        (HEAD, "is empty"),
        (HEAD.replace("1", "99"), "newer refmatch"),
        (HEAD + '[[tube]]\npigments = ["PB29"]', "has no name"),
        (HEAD + '[[tube]]\nname = "a"', "names no pigment"),
        (HEAD + '[[tube]]\nname = "a=b"\npigments = ["PB29"]', "may not have"),
        (HEAD + '[[tube]]\nname = "a"\npigments = ["PB99"]', "no 'PB99'"),
        (HEAD + '[[tube]]\nname = "a"\npigments = ["PBr7"]', "say which"),
        (HEAD + '[[tube]]\nname = "a"\npigments = ["PB29"]\ngrade = "fine"', "artist or student"),
        (HEAD + '[[tube]]\nname = "a"\npigments = ["PB29"]\nstrength = 0', "above 0"),
        (HEAD + '[[tube]]\nname = "a"\npigments = ["PB29"]\nstrength = "x"', "strength"),
        (HEAD + 2 * '[[tube]]\nname = "a"\npigments = ["PB29"]\n', "Two tubes"),
        (HEAD + 'parts = "mass"\n[[tube]]\nname = "a"\npigments = ["PB29"]\n', "by volume"),
        (HEAD + 'parts = "drops"\n[[tube]]\nname = "a"\npigments = ["PB29"]\n', "volume"),
        (HEAD + '[[tube]]\nname = "a"\npigments = ["PB29"]\nabsorption = [1]', "31 positive"),
        (HEAD + '[[tube]]\nname = "a"\nportions = [{pigment = "PB29"}]', "portions"),
    ],
)
def test_a_wrong_box_gets_one_sentence(text: str, says: str) -> None:
    with refused(BoxError, match=says) as raised:
        box_from_toml(text, "box.toml")
    assert "\n" not in sentence_of(raised.value)


def test_a_box_of_before_sentences_were_kept_apart_is_read() -> None:
    """Then a flag was saved with its sentence, as its text; now with the values it is made of."""
    curves = f"absorption = {[0.2] * 31}\nscattering = {[0.5] * 31}\n"
    old = '{name = "tints_decide", text = "Its tints decide."}'
    new = '{name = "tints_decide", values = {tube = "a"}}'
    text = HEAD + f'[[tube]]\nname = "a"\nsource = "measured"\n{curves}flags = [{old}, {new}]\n'
    once = box_from_toml(text)
    for box in (once, box_from_toml(box_to_toml(once))):
        assert [sentence_of(flag) for flag in box.tubes[0].flags] == [
            "Its tints decide.",
            "'a' is so dark as squeezed that it says little; its tints decide.",
        ]


def test_a_missing_file_and_a_closed_folder(tmp_path: Path) -> None:
    with refused(BoxError, match="cannot be read"):
        read_box(tmp_path / "none.toml")
    with refused(BoxError, match="make one with 'refmatch box new'", remedies=REMEDIES):
        read_box(tmp_path / "none.toml")
    with refused(OutputError, match="is not there"):
        write_box(tmp_path / "none" / "box.toml", built_in_box())


def test_a_box_without_white_says_so() -> None:
    with refused(BoxError, match="no white"):
        _ = Box("dark", (built_in_tube("PB29"),)).white


def test_every_pigment_makes_a_tube() -> None:
    for key in pigments():
        assert built_in_tube(key).absorption.shape == (31,)
