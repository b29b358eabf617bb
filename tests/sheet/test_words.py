"""Paper names neither an option nor a command, and calls things by their one name."""

from __future__ import annotations

import io
import re
from dataclasses import replace

import pypdf
import pytest

from refmatch.flag import Flag
from refmatch.painting.asked import AskedPlan
from refmatch.sheet import pdf, text
from refmatch.sheet.compose import compose
from refmatch.sheet.content import Content
from tests.painting import example
from tests.painting.rounds_example import boxed
from tests.sheet.cases import checked, mixed_by_a_plan, nudged, planned

DOORS = re.compile(r"(?<![\w-])--[a-z]|\brefmatch\b|\bpip\b", re.IGNORECASE)
"""An option, or a command: that of the program, or of what installs it."""

OLD_WORDS = re.compile(r"\bdE00|\bfamil(y|ies)\b|\bpiles?\b", re.IGNORECASE)
"""What is called ΔE00, a mass and a puddle on paper."""

FLAGS = (
    Flag("stray_hue", hue="green", stays=False),
    Flag("under_lamp", lamp="A", turns=("redder",), other=None),
    *(Flag(name) for name in ("photo_lost_in_black", "photo_burnt_out", "photo_too_strong")),
    *(Flag(name) for name in ("box_has_one_value", "amounts_by_mass")),
)


def flagged() -> Content:
    """Return a sheet on which every caution of recipes and plans is printed."""
    painting = example.painting(3)
    targets = tuple(replace(target, flags=FLAGS) for target in painting.targets)
    return compose(replace(painting, targets=targets, flags=FLAGS), example.pictures())


def without_canvas() -> Content:
    """Return a sheet with a plan whose key is off, for a canvas of no known size."""
    painting = mixed_by_a_plan(boxed(3), AskedPlan(keyed=False), None)
    return compose(painting, example.pictures())


SHEETS = {
    "flagged": flagged,
    "checked": checked,
    "nudged": nudged,
    "planned": planned,
    "without a canvas": without_canvas,
    "of nothing": lambda: compose(example.painting(0), example.pictures()),
}


@pytest.mark.parametrize("name", SHEETS)
def test_a_sheet_names_no_option_and_no_command(name: str) -> None:
    made = SHEETS[name]()
    pages = pypdf.PdfReader(io.BytesIO(pdf.write(made))).pages
    printed = " ".join(page.extract_text() for page in pages)
    assert "Solvents" in printed  # the words of the PDF can be read
    for said in (printed, text.write(made)):
        assert not DOORS.search(said), DOORS.findall(said)
        assert not OLD_WORDS.search(said), OLD_WORDS.findall(said)


def test_how_much_paint_is_told_where_the_canvas_is_known() -> None:
    made = without_canvas()
    assert made.plan
    assert made.plan.amounts_words == (
        "Say how large the canvas is, and this page tells how much of each tube it takes."
    )
