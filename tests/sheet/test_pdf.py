"""The PDF as a file: the same bytes each time, true words in true type."""

from __future__ import annotations

import io
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pymupdf
import pypdf

from refmatch.errors import UsageError
from refmatch.painting import store
from refmatch.sheet import pdf
from refmatch.sheet.compose import compose
from refmatch.target import Target
from tests.painting import example
from tests.refusals import refused
from tests.sheet.cases import ODD, content, labelled


def test_bytes_are_the_same_each_time():
    assert pdf.write(content(3)) == pdf.write(content(3))


def test_bytes_are_the_same_in_another_process():
    script = (
        "import hashlib\nfrom refmatch.sheet import pdf\nfrom tests.sheet.cases import content\n"
        "print(hashlib.sha256(pdf.write(content(3))).hexdigest())"
    )
    root = Path(__file__).parents[2]
    digests = {
        subprocess.run(
            [sys.executable, "-c", script],
            cwd=root,
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": str(root)},
            capture_output=True,
            check=True,
            text=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(digests) == 1


def test_a_painting_reopened_gives_the_same_sheet(tmp_path):
    photo = tmp_path / "pears.png"
    photo.write_bytes(example.picture())
    painting = example.painting()
    store.create(tmp_path / "pears", photo, painting, example.pictures())
    first = pdf.write(compose(painting, example.pictures()))
    again = store.open_folder(tmp_path / "pears")
    assert pdf.write(compose(again.painting, again.pictures)) == first


def test_words_can_be_found_and_copied():
    text = "".join(p.get_text() for p in pymupdf.open(stream=pdf.write(labelled(ODD))))
    assert "Ζωγράφος → ocre jaune ñ [U+6C49]" in " ".join(text.split())
    plain = "".join(p.get_text() for p in pymupdf.open(stream=pdf.write(content(8))))
    for words in ("ΔE00", "ΔL*", "value", "titanium white", "−", "½"):
        assert words in plain


def test_fonts_are_embedded_and_few():
    document = pymupdf.open(stream=pdf.write(content(8)))
    fonts = {font[1:4] for page in document for font in page.get_fonts()}
    assert {kind for _, kind, _ in fonts} == {"TrueType"}
    assert {ending for ending, _, _ in fonts} == {"ttf"}  # "n/a" would be one not embedded
    assert all("FiraSans" in name for _, _, name in fonts)


def test_a_strict_reader_finds_nothing_amiss():
    reader = pypdf.PdfReader(io.BytesIO(pdf.write(content(8))), strict=True)
    assert reader.metadata is not None
    assert reader.metadata.title == "Pears under the lamp"
    assert all(page.extract_text() for page in reader.pages)
    document = pymupdf.open(stream=pdf.write(content(8)))
    for page in document:
        page.get_pixmap(dpi=20)
    assert pymupdf.TOOLS.mupdf_warnings() == ""
    assert not document.is_repaired


def test_a_colour_no_screen_can_show_is_still_printed():
    painting = example.painting(1)
    wild = Target("neon", np.array([80.0, -120.0, 110.0]), 10.0, 10.0, 12.0)
    made = compose(replace(painting, targets=(wild,)), example.pictures())
    assert len(pymupdf.open(stream=pdf.write(made))) == 5


def test_no_such_paper_is_told():
    with refused(UsageError, match="a4, letter"):
        pdf.write(content(1), "foolscap")
