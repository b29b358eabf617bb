"""Words of a difference: they agree with the figures in every direction."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.hues import GREY_BELOW, munsell_chroma
from refmatch.colorimetry.lab import chroma, delta_e_00, hue_deg, lch_differences
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.words import WARM_POLE_DEG, both_blue
from refmatch.dabs.verdict import (
    LITTLE,
    MUCH,
    NEAR,
    OFF,
    PLAIN,
    UNTOLD,
    WITHIN,
    Apart,
    difference_words,
    judge,
    misses,
)
from refmatch.say.dabs import WOULD_TELL, verdict_sentence

PAIRS = 2000
BROWN = np.array([45.0, 16.0, 22.0])


@pytest.fixture(scope="module")
def pairs() -> list[tuple[Array, Array, str]]:
    """Mixes 0.3 to 15 units off targets over the whole solid that paint fills, and the words."""
    draw = np.random.default_rng(6)
    targets = np.column_stack([draw.uniform(12.0, 94.0, PAIRS), draw.normal(0.0, 28.0, (PAIRS, 2))])
    way = draw.normal(size=(PAIRS, 3))
    way /= np.linalg.norm(way, axis=1)[:, None]
    far = np.exp(draw.uniform(np.log(0.3), np.log(15.0), PAIRS))
    mixes = targets + far[:, None] * way
    return [
        (lab, target, difference_words(lab, target))
        for lab, target in zip(mixes, targets, strict=True)
    ]


def test_value_and_strength_agree_with_the_figures(pairs: list[tuple[Array, Array, str]]) -> None:
    for lab, target, words in pairs:
        d_l, d_c, _ = lch_differences(lab, target)
        assert not ("too light" in words and d_l <= 0.0)
        assert not ("too dark" in words and d_l >= 0.0)
        assert not ("too strong" in words and d_c <= 0.0)
        assert not ("too dull" in words and d_c >= 0.0)


def test_hue_agrees_with_the_figures(pairs: list[tuple[Array, Array, str]]) -> None:
    """Warm is nearer to the warm pole, red and green the ends of the way across it."""
    for lab, target, words in pairs:
        if min(munsell_chroma(lab), munsell_chroma(target)) < GREY_BELOW:
            continue
        off = np.abs((hue_deg(np.stack([lab, target])) - WARM_POLE_DEG + 180.0) % 360.0 - 180.0)
        assert not ("too warm" in words and off[0] >= off[1])
        assert not ("too cold" in words and off[0] <= off[1])
        across = np.sin(np.radians(hue_deg(np.stack([lab, target])) - WARM_POLE_DEG))
        assert not ("too red" in words and across[0] >= across[1])
        green = "too green" in words or "too yellow" in words
        assert not (green and across[0] <= across[1])


def test_what_is_said_of_a_mix_is_said_the_other_way_of_its_target(
    pairs: list[tuple[Array, Array, str]],
) -> None:
    other = {"light": "dark", "warm": "cold", "strong": "dull"}
    other |= {there: back for back, there in other.items()}
    for lab, target, there in pairs[:1000]:
        back = difference_words(target, lab)
        for word in there.split(", "):
            kind = word.rpartition(" ")[2]
            if kind in other:
                assert word.replace(kind, other[kind]) in back


def test_the_three_sizes_are_told_in_ciede2000() -> None:
    """Moved along one dimension only, the words change where the dE00 passes the ends."""
    for target in (BROWN, np.array([70.0, -20.0, 15.0]), np.array([30.0, 10.0, -35.0])):
        for step in np.linspace(0.02, 9.0, 120):
            lighter = target + np.array([step, 0.0, 0.0])
            stronger = target * [1.0, *2 * [1.0 + step / chroma(target)]]
            for lab, word in ((lighter, "too light"), (stronger, "too strong")):
                apart = float(delta_e_00(lab, target))
                if min(abs(apart - end) for end in (LITTLE, PLAIN, MUCH)) < 0.05:
                    continue
                told = "" if apart < LITTLE else f"a little {word}"
                told = word if apart >= PLAIN else told
                assert difference_words(lab, target) == (f"much {word}" if apart >= MUCH else told)


def test_a_turn_of_hue_alone_is_sized_in_ciede2000() -> None:
    """Within a third: told by its sides and never as a difference of value or strength."""
    draw = np.random.default_rng(3)
    for _ in range(300):
        c, h, turn = draw.uniform(20.0, 60.0), draw.uniform(0.0, 360.0), draw.uniform(2.0, 12.0)
        at = np.radians([h, h + turn])
        target, lab = (np.array([50.0, c * np.cos(angle), c * np.sin(angle)]) for angle in at)
        apart = float(delta_e_00(lab, target))
        value, *turns, strength = misses(lab, target)
        assert value.size == pytest.approx(0.0, abs=1e-6)
        assert strength.size == pytest.approx(0.0, abs=1e-6)
        largest = max(abs(miss.size) for miss in turns)
        assert largest <= 1.05 * apart
        if not both_blue(lab, target):
            assert largest >= 0.66 * apart


@pytest.mark.parametrize(
    ("lab", "words"),
    [
        (BROWN, ""),
        (BROWN + np.array([1.0, 0.0, 0.0]), "a little too light"),
        (BROWN - np.array([4.0, 0.0, 0.0]), "too dark"),
        (BROWN * [1.0, 0.75, 0.75], "too dull"),
        (BROWN + np.array([3.0, 4.0, -4.0]), "too light, too cold"),
    ],
)
def test_value_is_told_first(lab: Array, words: str) -> None:
    assert difference_words(lab, BROWN) == words


def test_blues_are_too_red_or_too_green_and_have_no_temperature(
    pairs: list[tuple[Array, Array, str]],
) -> None:
    """Painters dispute which blue is warm: common practice, no source."""
    seen = 0
    for lab, target, words in pairs:
        if both_blue(lab, target):
            assert "warm" not in words
            assert "cold" not in words
            seen += "red" in words or "green" in words
    assert seen > 50


def test_silence_means_that_nothing_is_seen(pairs: list[tuple[Array, Array, str]]) -> None:
    """Paravina et al. 2015: 1.8 dE00 is acceptable to half of all observers, 0.8 just seen."""
    silent = [delta_e_00(lab, target) for lab, target, words in pairs if not words]
    assert len(silent) > 100
    assert max(silent) < 1.5
    assert np.median(silent) < 0.8


def judged(photo, belief, photo_p50, belief_p50):
    """A dab that photo and belief have so far too light, each known to a p50; its p90 is twice."""
    lab = BROWN + np.array([belief, 0.0, 0.0])
    at = [Apart(off, p50, 2.0 * p50) for off, p50 in ((photo, photo_p50), (belief, belief_p50))]
    return judge(lab, BROWN, *at)


def said(verdict, lacks="no_chart"):
    return verdict_sentence(*verdict[:3], lacks)


def test_the_verdict_parts_off_from_what_cannot_be_told() -> None:
    near = judged(1.0, 1.0, 0.8, 1.5)
    assert (near.name, said(near)) == (WITHIN, f"{WITHIN.capitalize()}: leave it.")
    far = judged(2.0, 2.0, 0.8, 0.8)
    assert (far.name, far.nearness, far.words) == (OFF, "good", "a little too light")
    assert said(far).startswith("Off: a little too light (")
    assert judged(20.0, 20.0, 0.8, 0.8).nearness == "another colour"


def test_no_recipe_says_that_a_dab_is_right_which_the_photo_shows_elsewhere() -> None:
    """However sure the belief: the photo itself is within its p90, and within 2 dE00, or no."""
    for photo in (0.5, 1.5, 1.9, 2.1, 4.0, 14.0):
        for photo_p50 in (0.4, 1.0, 3.0, 10.0):
            for belief in (0.0, 0.5, 1.5, 3.0):
                found = judged(photo, belief, photo_p50, 4.0)
                shown = photo <= NEAR and photo <= 2.0 * photo_p50 and belief <= NEAR
                assert found.name == (WITHIN if shown else UNTOLD)
                assert ("leave it" in said(found)) == shown


def test_what_cannot_be_told_says_what_would_tell() -> None:
    untold = judged(5.0, 0.5, 3.0, 2.0)
    sentences = {said(untold, lacks) for lacks in WOULD_TELL}
    assert len(sentences) == len(WOULD_TELL)
    assert all(sentence.startswith("This photo cannot tell; ") for sentence in sentences)


def test_a_little_in_every_way_is_still_said_to_be_off() -> None:
    lab = BROWN + np.array([0.65, 0.5, 1.0])
    sure = Apart(float(delta_e_00(lab, BROWN)), 0.1, 0.2)
    assert sure.delta_e_00 > 0.8
    found = judge(lab, BROWN, sure, sure)
    assert found.name == OFF
    assert said(found).startswith("Off: ")
