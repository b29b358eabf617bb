"""The glossary's tables say what the code does."""

from __future__ import annotations

from pathlib import Path

from refmatch.colorimetry.hues import HUES
from refmatch.colorimetry.words import CHROMA_WORDS
from refmatch.recipe.choice import MEANINGS, VERDICTS
from refmatch.recipe.reach import K_CHROMA, K_HUE, K_LIGHTNESS

TEXT = (Path(__file__).parents[1] / "docs" / "glossary.md").read_text("utf-8")


def table(first_column, second_column):
    """Return the rows of the table with these headings, as lists of cells."""
    lines = TEXT.split(f"| {first_column} | {second_column}", 1)[1].splitlines()[2:]
    rows = []
    for line in lines:
        if not line.startswith("|"):
            return rows
        rows.append([cell.strip() for cell in line.strip("|").split("|")])
    return rows


def bound(cell):
    return float(cell) if cell else float("inf")


def test_hue_names():
    assert [(float(end), name) for name, end, _ in table("name", "ends at")] == list(HUES)


def test_chroma_words():
    found = [(bound(end), word) for word, end in table("word", "Munsell chroma below")]
    assert found == list(CHROMA_WORDS)


def test_verdicts_and_what_they_mean():
    rows = table("word", "dE00 up to")
    assert [(bound(end), word) for word, end, _ in rows] == list(VERDICTS)
    assert {word: meaning for word, _, meaning in rows} == MEANINGS


def test_what_is_held():
    assert f"kL = {K_LIGHTNESS:g}, kH = {K_HUE:g}, kC = {K_CHROMA:g}" in " ".join(TEXT.split())


def test_every_word_stands_once():
    words = [line.split("|")[1].strip() for line in TEXT.splitlines() if line.startswith("| ")]
    paint_and_colour = [word for word in words if word not in ("word", "name")]
    assert len(paint_and_colour) == len(set(paint_and_colour))
