"""How light a neutral spot is, nobody knows who was not told: light and dark then stay as shot."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.running import Shell

CARD = Path(__file__).parents[2] / "sample_images" / "garden-table.jpg"
CARD_LSTAR = 49.5
"""L* of an 18 % grey card (common practice: 116 * 0.18 ** (1 / 3) - 16)."""


@pytest.mark.parametrize(
    ("said", "is_set"),
    [
        ((), False),
        (("--neutral-value", CARD_LSTAR), True),
        (("--neutral-value", CARD_LSTAR, "--keep-exposure"), False),
        (("--set-exposure",), True),
    ],
)
def test_only_a_spot_of_stated_lightness_sets_the_exposure(
    refmatch: Shell, said: tuple[str | float, ...], is_set: bool
) -> None:
    words = ("--neutral", "1709,1146,38", *said, "--hole", "1709,1146,38=card", "--json")
    (sample,) = refmatch("sample", CARD, *map(str, words)).json()["samples"]
    assert (abs(sample["lab"][0] - CARD_LSTAR) < 0.05) is is_set
    assert max(map(abs, sample["lab"][1:])) < 0.1, "grey either way"
