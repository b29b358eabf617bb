"""The easel page and the small slips: every puddle once, in the order of work, on few pages."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pymupdf
import pytest

from refmatch.colorimetry.lab import delta_e_00
from refmatch.dabs.card import PAPERS
from refmatch.errors import UsageError
from refmatch.painting.asked import AskedPlan
from refmatch.painting.model import Painting
from refmatch.plan.amounts import Canvas
from refmatch.sheet import pdf, text
from refmatch.sheet.compose import Wanted, compose
from refmatch.sheet.content import Content
from refmatch.sheet.easel import NEAR_TARGETS, easel_lines, puddles_of
from tests.painting import example
from tests.painting.rounds_example import boxed
from tests.refusals import refused
from tests.sheet.cases import mixed_by_a_plan, planned


def made(count: int, wanted: Wanted) -> Content:
    return compose(example.painting(count), example.pictures(), wanted)


def printed(content: Content, paper: str = "a4") -> list[str]:
    return [page.get_text() for page in pymupdf.open(stream=pdf.write(content, paper))]


def twins(count: int = 3) -> Painting:
    """Return a painting whose last target is the first's colour once more, a hair lighter."""
    painting = example.painting(count)
    lab = painting.targets[0].lab + np.array([0.3, 0.0, 0.0])
    twin = replace(painting.targets[-1], label="cup, shadow side", lab=lab)
    answers = (*painting.recipes[:-1], painting.recipes[0])
    return replace(painting, targets=(*painting.targets[:-1], twin), recipes=answers)


def test_two_targets_of_one_colour_share_a_slip() -> None:
    painting = twins()
    assert puddles_of(painting) == {0: (0, 2), 1: (1,)}
    slips = compose(painting, example.pictures()).slips
    assert [(slip.number, slip.also) for slip in slips] == [(1, (3,)), (2, ())]
    assert slips[0].one_puddle == "1 and 3 (cup, shadow side): one puddle."


def test_a_recipe_that_was_chosen_keeps_its_own_slip() -> None:
    assert puddles_of(replace(twins(), chosen=(0, 0, 1))) == {0: (0,), 1: (1,), 2: (2,)}


def test_targets_that_share_a_puddle_are_near() -> None:
    painting = example.painting(24)
    for first, places in puddles_of(painting).items():
        labs = np.array([painting.targets[place].lab for place in places])
        assert np.all(delta_e_00(labs, painting.targets[first].lab) <= NEAR_TARGETS)


def test_light_comes_before_dark_where_there_is_no_plan() -> None:
    """A dark on the knife soils a light (common practice, no source)."""
    lines = easel_lines(example.painting(8))
    lightness = [float(line.target[0]) for line in lines if line.target is not None]
    assert lightness == sorted(lightness, reverse=True)
    assert [line.order for line in lines] == list(range(1, len(lines) + 1))


def test_with_a_plan_it_goes_by_its_order_of_work() -> None:
    content = planned()
    assert content.plan
    work = [(line.order, line.number) for line in content.plan.work]
    assert [(line.order, line.numbers[0] if line.numbers else None) for line in content.easel] == [
        row for row in work if row[0] in {line.order for line in content.easel}
    ]
    assert {n for line in content.easel for n in line.numbers} == set(range(1, 9))


@pytest.mark.parametrize("paper", PAPERS)
def test_all_puddles_stand_on_one_side_after_the_cover(paper: str) -> None:
    content = made(24, Wanted())
    pages = printed(content, paper)
    assert [number for number, page in enumerate(pages) if "at the easel" in page] == [1]
    told = "".join(pages[1].split())
    for line in content.easel:
        for figure, words in line.parts:
            assert f"{figure}{''.join(words.split())}" in told


@pytest.mark.parametrize("paper", PAPERS)
def test_small_slips_of_24_targets_take_at_most_8_pages(paper: str) -> None:
    painting = example.painting(24)
    assert len(puddles_of(painting)) >= 20
    assert len(printed(compose(painting, example.pictures(), Wanted(slips="compact")), paper)) <= 8


@pytest.mark.parametrize("paper", PAPERS)
def test_small_slips_of_24_targets_with_their_plan_take_at_most_8_pages(paper: str) -> None:
    painting = mixed_by_a_plan(_all_apart(boxed(24)), AskedPlan(), Canvas(40.0, 30.0))
    assert len(puddles_of(painting)) >= 18
    wanted = Wanted(slips="compact", grid="none")
    pages = printed(compose(painting, example.pictures(), wanted), paper)
    assert len(pages) <= 8
    assert sum("plan, page" in page for page in pages) == 1


def _all_apart(painting: Painting) -> Painting:
    """Return a painting whose targets, eight colours over and over, are moved apart."""
    moved = (np.array([9.0, 5.0, -4.0]) * (place // 8) for place in range(len(painting.targets)))
    pairs = zip(painting.targets, moved, strict=True)
    targets = tuple(replace(target, lab=target.lab + by) for target, by in pairs)
    return replace(painting, targets=targets)


@pytest.mark.parametrize("paper", PAPERS)
def test_a_few_small_slips_stand_below_their_plan(paper: str) -> None:
    painting = mixed_by_a_plan(boxed(2), AskedPlan(), None)
    pages = printed(compose(painting, example.pictures(), Wanted(slips="compact")), paper)
    (shared,) = (page for page in pages if "plan, page" in page)
    assert "slips, page 1 of 1" in shared


def test_no_difference_of_colour_is_told_where_the_hand_reads() -> None:
    """The words of a slip, its parts and steps, the work and the strings are a painter's."""
    made = planned()
    assert made.plan
    lines = [words for slip in made.slips for words in (slip.words, slip.distance, slip.total)]
    lines += [step.words for slip in made.slips for step in slip.steps]
    lines += [line.words for line in made.plan.work]
    lines += [f"{step.words} {step.looks}" for s in made.plan.strings for step in s.steps]
    assert lines
    assert not [line for line in lines if "ΔE" in line or "L*" in line]
    assert all("ΔE00" in slip.figures for slip in made.slips)


def test_small_slips_take_a_third_of_the_ink() -> None:
    full, small = (ink(made(8, Wanted(slips=slips))) for slips in ("full", "compact"))
    assert small < full / 3.0


def ink(content: Content) -> float:
    """Return how much of the paper the pages of slips cover, in pages of black."""
    pages = pymupdf.open(stream=pdf.write(content))
    slips = (page for page in pages if "slips, page" in page.get_text())
    greys = (page.get_pixmap(dpi=40, colorspace=pymupdf.csGRAY) for page in slips)
    return sum(1.0 - np.frombuffer(grey.samples, np.uint8).mean() / 255.0 for grey in greys)


def test_only_what_is_wanted_is_printed() -> None:
    easel = "\n".join(printed(made(4, Wanted(pages="easel"))))
    assert "at the easel" in easel
    assert "slips, page" not in easel
    assert "cut, punch" not in easel
    slips = "\n".join(printed(made(4, Wanted(pages="slips"))))
    assert "at the easel" not in slips
    assert "slips, page" in slips
    assert "cut, punch" in slips


def test_text_tells_the_easel_page_too() -> None:
    written = text.write(made(4, Wanted(pages="easel")))
    assert "AT THE EASEL" in written
    assert "parts by volume" not in written  # which a slip tells, and the easel page does not
    assert max(len(line) for line in written.splitlines()) <= text.WIDTH


@pytest.mark.parametrize(
    ("wanted", "match"),
    [
        (Wanted(pages="some"), "choose easel, slips or all"),
        (Wanted(slips="tiny"), "choose full or compact"),
        (Wanted(grid="inches"), "choose thirds, cm, in or none"),
        (Wanted(grid="cm"), "say the canvas"),
    ],
)
def test_what_no_sheet_can_show_is_refused(wanted: Wanted, match: str) -> None:
    with refused(UsageError, match=match):
        made(1, wanted)
