"""Verdicts: their signs by facts of colour, their doubt by the covariance they are given."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.canvas.verdicts import CHROMA, NEAR, OFF, TEMPERATURE, UNTOLD, VALUE, dimensions_of
from refmatch.colorimetry.hues import lstar_from_value

SURE = 0.3 * np.eye(3)
TARGET = np.array([50.0, 15.0, 25.0])


def one(kind: str, lab, target=TARGET, covariance=SURE):
    found = dimensions_of(np.asarray(lab, float), covariance, np.asarray(target, float))
    return next(each for each in found if each.kind == kind)


def test_a_step_of_value_is_a_step_of_munsell_value() -> None:
    """ASTM D1535: values 4 and 6 are 2 apart."""
    four, six = (float(lstar_from_value(value)) for value in (4.0, 6.0))
    found = one(VALUE, [six, 15, 25], [four, 15, 25])
    assert found.difference == pytest.approx(2.0, abs=0.01)
    assert (found.verdict, found.word) == (OFF, "lighter")
    assert one(VALUE, [four, 15, 25], [six, 15, 25]).word == "darker"


def test_orange_is_warmer_than_green_and_cooler_is_said_of_blue_paint() -> None:
    """Common practice: orange is the warmest hue, what turns from it grows cooler."""
    olive = [50.0, -5.0, 29.0]
    assert one(TEMPERATURE, [50.0, 15.0, 25.0], olive).word in ("warmer", "redder")
    assert one(TEMPERATURE, olive, [50.0, 15.0, 25.0]).verdict == OFF
    assert one(TEMPERATURE, olive, [50.0, 15.0, 25.0]).word in ("cooler", "greener", "yellower")


def test_half_the_chroma_is_duller() -> None:
    found = one(CHROMA, [50.0, 7.5, 12.5])
    assert (found.verdict, found.word) == (OFF, "duller")
    assert one(CHROMA, [50.0, 22.5, 37.5]).word == "stronger"


def test_within_the_doubt_nothing_is_said_and_beyond_use_it_cannot_tell() -> None:
    lab = TARGET + np.array([4.0, 0.0, 0.0])
    assert one(VALUE, lab).verdict == OFF
    assert one(VALUE, lab, covariance=np.diag([9.0, 1.0, 1.0])).verdict == NEAR
    assert one(VALUE, lab, covariance=np.diag([64.0, 1.0, 1.0])).verdict == UNTOLD


def test_the_stated_doubt_of_value_is_that_of_its_lightness() -> None:
    """About the middle ten L* are one Munsell value (ASTM D1535), so 2 L* are 0.2 values."""
    found = one(VALUE, TARGET, covariance=np.diag([4.0, 0.0, 0.0]))
    assert found.p90 == pytest.approx(1.645 * 0.2, rel=0.05)
    assert found.p50 == pytest.approx(0.6745 * 0.2, rel=0.05)


def test_a_turn_of_hue_is_never_surer_than_its_colour() -> None:
    """On the warm pole itself the slope of warmth by hue vanishes; the doubt must not."""
    pole = np.radians(57.0)
    orange = np.array([60.0, 50.0 * np.cos(pole), 50.0 * np.sin(pole)])
    assert one(TEMPERATURE, orange, orange, 4.0 * np.eye(3)).p90 > 0.7
