"""Bad input gets one sentence, the right exit code, no traceback, and nothing half written."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import numpy as np
import pytest
from skimage import io

from tests.cli.running import Shell


@pytest.fixture
def photo(tmp_path: Path) -> Path:
    path = tmp_path / "apple.jpg"
    draw = np.random.default_rng(1)
    picture = draw.integers(0, 255, (8, 12, 3), dtype=np.uint8).repeat(20, 0).repeat(20, 1)
    io.imsave(path, picture, check_contrast=False)
    return path


def refused(refmatch: Shell, code: int, says: str, *words: object) -> None:
    ran = refmatch(*words)
    assert ran.code == code, ran
    assert ran.out == ""
    (line,) = [text for text in ran.err.strip().splitlines() if text]
    assert says in line
    assert "Traceback" not in ran.err


def test_a_missing_file(refmatch: Shell) -> None:
    refused(refmatch, 1, "no photo", "sample", "none.jpg", "--hole", "1,1")


def test_a_text_file_named_jpg(refmatch: Shell, tmp_path: Path) -> None:
    (tmp_path / "note.jpg").write_text("buy white\n")
    refused(refmatch, 1, "note.jpg", "sample", tmp_path / "note.jpg", "--hole", "1,1")


def test_a_truncated_jpeg(refmatch: Shell, photo: Path, tmp_path: Path) -> None:
    cut = tmp_path / "cut.jpg"
    cut.write_bytes(photo.read_bytes()[:-200])
    refused(refmatch, 1, "cut.jpg", "sheet", cut, "--out", tmp_path / "sheet.pdf")
    assert not (tmp_path / "sheet.pdf").exists()


def test_a_hole_outside_the_photo(refmatch: Shell, photo: Path) -> None:
    refused(refmatch, 1, "240", "sample", photo, "--hole", "9000,10")


@pytest.mark.parametrize(
    ("says", "words"),
    [
        ("in two ways", ("--neutral", "9,9", "--white", "50,50")),
        ("in two ways", ("--white", "9,9", "--kelvin", "4000")),
        ("give --kelvin", ("--tint", "0.01")),
        ("give --neutral", ("--neutral-value", "60")),
    ],
)
def test_nothing_said_of_the_light_is_passed_over(
    refmatch: Shell, photo: Path, says: str, words: tuple[str, ...]
) -> None:
    refused(refmatch, 2, says, "sample", photo, "--hole", "9,9", *words)


def test_an_unknown_tube_with_the_near_names(refmatch: Shell) -> None:
    refused(refmatch, 1, "did you mean: ultramarine", "predict", "ultramarin=1")
    refused(refmatch, 1, "did you mean: ultramarine", "nudge", "PB29=1", "--tube", "ultramarin")
    refused(refmatch, 1, "did you mean: burnt umber", "mix", "50,0,0", "--without", "burnt umbre")


def test_a_tube_both_insisted_on_and_held_out(refmatch: Shell) -> None:
    habits = ("--with", "phthalo blue", "--without", "phthalo blue")
    refused(
        refmatch, 2, "'phthalo blue' is both insisted on and held out", "mix", "50,0,0", *habits
    )


def test_an_ambiguous_index_name(refmatch: Shell) -> None:
    refused(refmatch, 1, "burnt-sienna", "predict", "PBr7=1")


def test_an_empty_box_and_a_box_without_white(refmatch: Shell, tmp_path: Path) -> None:
    box = tmp_path / "box.toml"
    box.write_text('format = "refmatch-box"\nversion = 1\n')
    refused(refmatch, 1, "is empty", "mix", "50,0,0", "--box", box)
    box.write_text(box.read_text() + '[[tube]]\nname = "PB29"\npigments = ["PB29"]\n')
    refused(refmatch, 1, "has no white", "mix", "50,0,0", "--box", box)
    refused(
        refmatch, 1, "has no white", "box", "new", "--tube", "PB29", "--out", tmp_path / "b.toml"
    )
    assert not (tmp_path / "b.toml").exists()


@pytest.mark.parametrize("lab", ["50,100,-100", "120,0,0", "5,60,0", "nan,0,0"])
def test_a_lab_no_surface_can_have(refmatch: Shell, lab: str) -> None:
    ran = refmatch("mix", lab)
    assert ran.code == 1
    assert ran.out == ""
    assert len(ran.err.strip().splitlines()) == 1


def test_an_output_folder_that_is_not_there(refmatch: Shell, photo: Path, tmp_path: Path) -> None:
    out = tmp_path / "gone" / "sheet.pdf"
    refused(refmatch, 1, "is not there", "sheet", photo, "--out", out)
    refused(refmatch, 1, "is not there", "box", "new", "--tube", "PW6", "--out", out)


def test_a_full_disk(
    refmatch: Shell, photo: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    before = sorted(tmp_path.iterdir())
    out = tmp_path / "sheet.pdf"
    refused(refmatch, 1, "disk is full", "sheet", photo, "--out", out, "--families", "2")
    assert sorted(tmp_path.iterdir()) == before


def test_nothing_is_written_over_the_photo_or_over_a_box(
    refmatch: Shell, photo: Path, tmp_path: Path
) -> None:
    png = photo.with_suffix(".png")
    io.imsave(png, io.imread(photo), check_contrast=False)
    before = png.read_bytes()
    refused(refmatch, 1, "the photo itself", "sample", png, "--hole", "9,9", "--card-out", png)
    assert png.read_bytes() == before
    box = tmp_path / "box.toml"
    box.write_text("my own box, edited by hand")
    refused(refmatch, 1, "already there", "box", "new", "--tube", "PW6", "--out", box)
    assert box.read_text() == "my own box, edited by hand"
    refused(refmatch, 2, ".png", "families", png, "--values-out", tmp_path / "values.gif")


@pytest.mark.parametrize(
    "words",
    [
        ("predict", "PB29"),
        ("predict", "PB29=x"),
        ("predict", "PB29=0"),
        ("nudge", "PB29"),
        ("nudge", "PB29=0"),
        ("predict", "PB29=1", "--finish", "wet"),
        ("mix", "50,0,0", "--tubes", "9"),
        ("mix",),
        ("mix", "1,2"),
        ("nonsense",),
        ("sheet", "a.jpg", "--out", "sheet.docx"),
    ],
)
def test_wrong_usage_ends_with_two(refmatch: Shell, words: tuple[str, ...]) -> None:
    ran = refmatch(*words)
    assert ran.code == 2
    assert ran.out == ""
    assert "Traceback" not in ran.err


def test_a_malformed_hole_is_wrong_usage(refmatch: Shell, photo: Path) -> None:
    refused(refmatch, 2, "X,Y", "sample", photo, "--hole", "here")
    refused(refmatch, 2, "Two holes", "sample", photo, "--hole", "9,9=a", "--hole", "20,20=a")
