"""What the page is told of a colour."""

from __future__ import annotations

import json

import numpy as np

from refmatch.colorimetry.display import css_p3
from refmatch.web.colours import colour, colours, filled


def test_a_grey_has_equal_red_green_and_blue():
    """A neutral must not be tinted by the way to the screen (ISO 3664 on neutral surrounds)."""
    told = colour(np.array([53.585, 0.0, 0.0]))
    assert told == {
        "lab": [53.585, 0.0, 0.0],
        "srgb": "#808080",  # L* 53.585 is sRGB 128 of 255 (IEC 61966-2-1, CIE L*)
        "p3": "color(display-p3 0.5020 0.5020 0.5020)",
        "fits": "srgb",
    }


def test_many_are_told_as_one_by_one():
    labs = np.random.default_rng(3).uniform([5, -70, -70], [95, 70, 70], (40, 3))
    together = colours(labs)
    assert together == [colour(lab) for lab in labs]
    assert {told["fits"] for told in together} >= {"srgb", "none"}
    assert json.loads(json.dumps(together)) == together
    assert colours([]) == []


def test_a_page_of_colours_is_reckoned_in_one_go_and_as_one_by_one(monkeypatch):
    """Hundreds of colours go out with every change (tests/benchmarks/studio_page.py)."""
    labs = np.random.default_rng(4).uniform([5, -70, -70], [95, 70, 70], (60, 3))
    alone = [colour(lab) for lab in labs]
    reckoned = []

    def counted(stacked):
        reckoned.append(len(stacked))
        return css_p3(stacked)

    monkeypatch.setattr("refmatch.web.colours.css_p3", counted)
    assert colours(labs) == alone
    assert reckoned == [len(labs)]


def test_bare_lab_is_told_wherever_it_stands():
    """Each in its own place, and nothing else is touched."""
    one, other = np.array([50.0, 10.0, 0.0]), np.array([20.0, 0.0, -30.0])
    content = {"a": one, "list": [{"b": other, "words": "value 2"}, [1.5, None]], "n": 3}
    assert filled(content) == {
        "a": colour(one),
        "list": [{"b": colour(other), "words": "value 2"}, [1.5, None]],
        "n": 3,
    }
