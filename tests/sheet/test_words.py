"""Paper names neither an option nor a command; nor does any string that its words are made of."""

from __future__ import annotations

import ast
import io
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pypdf
import pytest

import refmatch
from refmatch.flag import Flag
from refmatch.say import plan, recipe, sheet
from refmatch.say.sentence import sentence_of
from refmatch.sheet import pdf, text
from refmatch.sheet.compose import compose
from refmatch.sheet.content import Content
from refmatch.sheet.plan import plan_shown
from refmatch.verbs.planning import PlanWanted, plan_of
from tests.painting import example
from tests.painting.rounds_example import boxed
from tests.sheet.cases import checked, nudged, planned

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
    painting = boxed(3)
    found = plan_of(painting, PlanWanted(keyed=False))
    return compose(painting, example.pictures(), plan=plan_shown(found, painting, keyed=False))


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
        "How much of each tube is told where the size of the canvas is known."
    )


def strings_in(folder: str) -> Iterator[tuple[str, str]]:
    """Yield every string of a folder's modules that is no docstring, with its place."""
    for path in sorted((ROOT / folder).rglob("*.py")):
        tree = ast.parse(path.read_text("utf-8"))
        for node in ast.walk(tree):
            for child in ast.iter_child_nodes(node):
                is_text = isinstance(child, ast.Constant) and isinstance(child.value, str)
                if is_text and not isinstance(node, ast.Expr):
                    yield f"{path.relative_to(ROOT)}:{child.lineno}", child.value


ROOT = Path(refmatch.__file__).parent


@pytest.mark.parametrize("folder", ["recipe", "sheet", "say"])
def test_no_string_below_the_doors_names_an_option_or_a_command(folder: str) -> None:
    found = [
        (place, said)
        for place, said in strings_in(folder)
        if DOORS.search(said) and said != "refmatch"  # the name that made a file
    ]
    assert not found


def test_every_caution_here_has_its_sentence() -> None:
    for flag in FLAGS:
        assert sentence_of(flag).endswith(".")
    for room in (recipe, plan, sheet):
        for name, said in room.SENTENCES.items():
            assert "{remedy}" not in str(said) or name in room.REMEDIES
