"""A slip tells its puddle's history, and only where there is one."""

from __future__ import annotations

import re

import numpy as np
import pymupdf
import pytest

from refmatch.colorimetry.display import lab_to_srgb8
from refmatch.colorimetry.lab import delta_e_00
from refmatch.encode import content_form
from refmatch.sheet import pdf, text
from tests.sheet.cases import checked, content
from tests.sheet.test_layout import squeezed


@pytest.fixture(scope="module")
def made():
    return checked()


def test_a_round_tells_the_day_what_was_seen_and_what_was_done(made):
    slip = made.slips[1]
    (line,) = slip.history
    assert line.when == "10 November 2026"
    told, _, far = line.words.rpartition(", ΔE00\u00a0")
    assert told == "a little too light, too cold, a little too strong"
    apart = [float(delta_e_00(lab, line.target)) for lab in (line.seen, line.photographed)]
    figures = re.findall(r"[\d.]+", far)  # each with its doubt
    assert figures[::2] == [f"{distance:.1f}" for distance in apart]
    assert line.done.startswith("then added 1 part of ")
    assert np.array_equal(line.target, slip.target)
    assert np.allclose(line.seen - line.target, (0.9, -6.0, 1.2))


def test_puddles_are_told_apart_where_there_were_several(made):
    first, second = made.slips[3].history
    assert first.when == "11 November 2026, puddle 1"
    assert second.when == "12 November 2026, puddle 2"
    assert (first.done, second.done) == ("then mixed it anew", "")


def test_of_many_rounds_the_last_are_printed_and_the_others_counted(made):
    slip = made.slips[0]
    assert [line.when[:2] for line in slip.history] == ["4 ", "5 ", "6 ", "7 ", "8 ", "9 "]
    assert slip.earlier == "3 earlier looks not shown"


def test_every_form_tells_it(made):
    printed = squeezed("".join(page.get_text() for page in pymupdf.open(stream=pdf.write(made))))
    written = text.write(made)
    assert max(len(line) for line in written.splitlines()) <= text.WIDTH
    assert "   Looked at (3 earlier looks not shown):" in written
    for slip in made.slips:
        for line in slip.history:
            assert squeezed(f"{line.when}: {line.words}") in printed
            assert squeezed(f"{line.when}: {line.words}") in squeezed(written)
    told = content_form(made)["slips"][3]["history"][0]
    assert set(told) == {"when", "target", "seen", "photographed", "words", "done"}


def test_target_and_dab_meet_edge_to_edge(made):
    line = made.slips[1].history[0]
    paints = [tuple(int(byte) for byte in lab_to_srgb8(lab)) for lab in (line.target, line.seen)]
    for page in pymupdf.open(stream=pdf.write(made)):
        fields = {
            tuple(round(255.0 * channel) for channel in drawing["fill"]): drawing["rect"]
            for drawing in page.get_drawings()
            if drawing["fill"] and drawing["rect"].width < 20.0
        }
        if set(paints) <= set(fields):
            target, dab = (fields[paint] for paint in paints)
            assert dab.x0 == pytest.approx(target.x1, abs=0.02)
            assert (dab.y0, dab.y1) == pytest.approx((target.y0, target.y1), abs=0.02)
            return
    pytest.fail("the round's two colours are on no page")


def test_a_puddle_that_was_never_looked_at_says_nothing_of_it(made):
    assert not made.slips[2].history
    for never in (text.write(content(3)), text.write(content(1))):
        assert "Looked at" not in never
    pages = pymupdf.open(stream=pdf.write(content(3)))
    assert not any("Looked at" in page.get_text() for page in pages)
