"""What every painter knows, the model must show. All common practice, no source.

Each test mixes built-in pigments and asks only for what a painter would see;
figures in C* and hue come from the predicted Lab under D50.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from refmatch.colorimetry.hues import hue_name
from refmatch.colorimetry.lab import chroma, delta_e_00, hue_deg, reflectance_to_lab
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import viewing
from refmatch.paint.box import built_in_tube
from refmatch.paint.kubelka_munk import FINISHES, Surface
from refmatch.recipe.mixture import predict, reflectance

WHITE = "titanium-white"


def lab_of(*portions: tuple[str, float]) -> Array:
    return predict([built_in_tube(name) for name, _ in portions], [parts for _, parts in portions])


def chromas(labs: Sequence[Array]) -> Array:
    return np.array([float(chroma(lab)) for lab in labs])


def is_green(lab: Array) -> bool:
    return bool(chroma(lab) > 5.0 and 100.0 < hue_deg(lab) < 200.0)


def test_a_complement_neutralises_and_darkens_and_too_much_greys() -> None:
    green = lab_of(("chromium-oxide-green", 9.0))
    touched = lab_of(("chromium-oxide-green", 9.0), ("quinacridone-magenta", 0.5))
    much = lab_of(("chromium-oxide-green", 9.0), ("quinacridone-magenta", 2.0))
    assert chroma(much) < chroma(touched) < chroma(green)
    assert touched[0] < green[0]
    assert chroma(much) < 0.5 * chroma(green)


@pytest.mark.parametrize("blue", ["phthalo-blue", "cerulean-blue-chromium"])
@pytest.mark.parametrize("orange", ["hansa-yellow", "diarylide-yellow"])
def test_a_greenish_blue_takes_a_yellowish_orange_through_green(blue: str, orange: str) -> None:
    warm = {"hansa-yellow": ("pyrrole-red", 0.02), "diarylide-yellow": ("pyrrole-red", 0.0)}
    path = [lab_of((orange, 1.0), warm[orange], (blue, x)) for x in np.geomspace(0.01, 2.0, 15)]
    assert any(is_green(lab) for lab in path)


def test_a_brown_neutralises_that_orange_without_green() -> None:
    path = [
        lab_of(("diarylide-yellow", 1.0), ("burnt-umber", x)) for x in np.geomspace(0.01, 5.0, 20)
    ]
    assert not any(is_green(lab) for lab in path)
    assert chroma(path[-1]) < 0.5 * chroma(path[0])


def test_a_pale_yellow_takes_a_blue_toward_green() -> None:
    blue = lab_of(("cobalt-blue", 1.0), (WHITE, 1.0))
    pale = lab_of(("cobalt-blue", 1.0), (WHITE, 1.0), ("hansa-yellow-light", 0.5))
    assert hue_deg(pale) < hue_deg(blue) - 10.0


@pytest.mark.parametrize("dark", ["ultramarine-blue", "phthalo-blue", "dioxazine-violet"])
def test_white_first_opens_a_dark_transparent_paint_then_dulls_it(dark: str) -> None:
    parts = np.geomspace(0.02, 100.0, 40)
    along = chromas([lab_of((dark, 1.0), (WHITE, white)) for white in parts])
    peak = int(along.argmax())
    assert along[peak] > float(chroma(lab_of((dark, 1.0)))) + 1.0
    assert 0 < peak < len(parts) - 1
    assert along[-1] < 0.6 * along[peak]


@pytest.mark.parametrize("bright", ["cadmium-red-light", "cadmium-orange", "cadmium-yellow"])
def test_white_dulls_an_opaque_bright_at_once_and_cools_it(bright: str) -> None:
    plain = lab_of((bright, 1.0))
    tints = [lab_of((bright, 1.0), (WHITE, white)) for white in (0.3, 1.0, 3.0, 9.0)]
    assert np.all(np.diff(chromas([plain, *tints])) < 0.0)
    warm_pole = np.radians(57.0)
    warmth = [lab[1] * np.cos(warm_pole) + lab[2] * np.sin(warm_pole) for lab in [plain, *tints]]
    assert np.all(np.diff(warmth) < 0.0)


def test_chalky_is_lightened_without_a_compensating_hue() -> None:
    """A red lightened by white alone turns bluish; a little orange in it holds the hue."""
    red = lab_of(("pyrrole-red", 1.0))
    chalky = lab_of(("pyrrole-red", 1.0), (WHITE, 6.0))
    warmed = lab_of(("pyrrole-red", 1.0), (WHITE, 6.0), ("diarylide-yellow", 0.6))

    def turned(lab: Array) -> float:
        return abs((float(hue_deg(lab) - hue_deg(red)) + 180.0) % 360.0 - 180.0)

    assert turned(warmed) < turned(chalky)


@pytest.mark.parametrize("colour", ["pyrrole-red", "cobalt-blue", "chromium-oxide-green"])
def test_black_darkens_and_flattens(colour: str) -> None:
    labs = [lab_of((colour, 1.0), ("ivory-black", black)) for black in (0.0, 0.1, 0.5)]
    assert np.all(np.diff([lab[0] for lab in labs]) < 0.0)
    assert np.all(np.diff(chromas(labs)) < 0.0)


def test_black_and_yellow_make_olive_green() -> None:
    yellow = lab_of(("hansa-yellow", 1.0))
    for black, parts in (("carbon-black", 1.0), ("ivory-black", 3.0)):  # a bone black is weak
        olive = lab_of(("hansa-yellow", 6.0), (black, parts))
        assert hue_deg(olive) > 95.0
        assert hue_deg(olive) > hue_deg(yellow)
        assert olive[0] < 50.0


def test_black_and_white_make_a_bluish_grey() -> None:
    for black in ("carbon-black", "lamp-black"):
        assert lab_of((black, 1.0), (WHITE, 9.0))[2] < -2.0


def test_a_blue_keeps_its_depth_better_with_a_darker_blue_than_with_black() -> None:
    """Compared at the same lightness: a cobalt tint brought down by either."""

    def darkened(by: str) -> Array:
        labs = [lab_of(("cobalt-blue", 1.0), (WHITE, 0.5), (by, x)) for x in np.geomspace(0.01, 2)]
        return min(labs, key=lambda lab: abs(lab[0] - 35.0))

    assert chroma(darkened("indanthrone-blue")) > chroma(darkened("ivory-black")) + 5.0


def test_a_flesh_tint_lightens_and_greys_a_dark_blue_less_coldly_than_white() -> None:
    blue = lab_of(("ultramarine-blue", 1.0))
    flesh = lab_of(("ultramarine-blue", 1.0), ("flesh-tint", 2.0))
    white = lab_of(("ultramarine-blue", 1.0), (WHITE, 2.0))
    assert flesh[0] > blue[0] + 20.0
    assert chroma(flesh) < chroma(white)
    assert flesh[2] > white[2]


def test_a_brown_lowers_a_blues_chroma_and_value() -> None:
    blue = lab_of(("cobalt-blue", 3.0), (WHITE, 1.0))
    browned = lab_of(("cobalt-blue", 3.0), (WHITE, 1.0), ("burnt-umber", 0.5))
    assert chroma(browned) < chroma(blue)
    assert browned[0] < blue[0]


@pytest.mark.parametrize("earth", ["burnt-sienna", "burnt-umber"])
def test_ultramarine_and_a_burnt_earth_give_a_near_neutral(earth: str) -> None:
    """Near neutral: what a painter calls black in masstone, and a grey in tints.

    Elsewhere 2-3 and 3-6 in C* were found; docs/accuracy.md tells where ours stand.
    """
    shares = np.linspace(0.05, 0.95, 91)
    plain = [lab_of(("ultramarine-blue", 1 - x), (earth, x)) for x in shares]
    least = min(plain, key=lambda lab: float(chroma(lab)))
    tints = chromas([lab_of(("ultramarine-blue", 1 - x), (earth, x), (WHITE, 4.0)) for x in shares])
    assert hue_name(least).startswith("black")
    assert chroma(least) < 8.0
    assert tints.min() < 6.0


@pytest.mark.parametrize(
    "red", ["quinacridone-rose", "quinacridone-magenta", "quinacridone-crimson"]
)
def test_phthalo_green_and_quinacridone_red_are_near_black(red: str) -> None:
    lab = lab_of(("phthalo-green", 3.0), (red, 7.0))
    assert lab[0] < 15.0
    assert hue_name(lab).startswith("black")


def test_cadmium_orange_and_a_little_phthalo_blue_fall_to_dull_olive() -> None:
    path = [lab_of(("cadmium-orange", 1.0), ("phthalo-blue", x)) for x in np.geomspace(0.02, 0.6)]
    assert any("olive" in hue_name(lab) for lab in path)
    finely = np.geomspace(0.005, 0.5, 60)
    greys = chromas([lab_of(("cadmium-orange", 1.0), ("phthalo-blue", x)) for x in finely])
    assert greys.min() > 5.0, "never a clean grey"


def test_dark_transparent_paints_show_their_hue_only_in_tint() -> None:
    for name in ("phthalo-green", "dioxazine-violet", "indanthrone-blue", "prussian-blue"):
        assert chroma(lab_of((name, 1.0))) < 0.6 * chroma(lab_of((name, 1.0), (WHITE, 4.0)))


def test_more_pigments_cost_chroma_and_opposed_hues_make_soup() -> None:
    red = chroma(lab_of(("pyrrole-red", 3.0), ("hansa-yellow", 3.0)))
    soup = chroma(lab_of(("pyrrole-red", 3.0), ("hansa-yellow", 3.0), ("cobalt-blue", 3.0)))
    mud = chroma(
        lab_of(
            ("pyrrole-red", 3.0),
            ("hansa-yellow", 3.0),
            ("cobalt-blue", 3.0),
            ("chromium-oxide-green", 3.0),
        )
    )
    assert soup < 0.6 * red
    assert mud < red


def test_a_sunken_dark_looks_lighter_and_greyer_until_it_is_oiled_out() -> None:
    for name in ("burnt-umber", "ultramarine-blue", "ivory-black"):
        tube = built_in_tube(name)
        gloss = predict([tube], [1.0], Surface(f=FINISHES["gloss"]))
        sunken = predict([tube], [1.0], Surface(f=FINISHES["matt"]))
        assert sunken[0] > gloss[0] + 3.0
        assert chroma(sunken) < chroma(gloss) + 0.5


def test_two_recipes_of_one_colour_part_under_a_lamp() -> None:
    """Metamerism: a grey of black and white, and one of ultramarine, sienna and white."""
    plain = lab_of(("mars-black", 1.0), (WHITE, 12.0))
    tubes = [built_in_tube(n) for n in ("ultramarine-blue", "burnt-sienna", WHITE)]
    mixes = [[a, b, 6.0] for a in np.linspace(0.2, 4.0, 30) for b in np.linspace(0.2, 4.0, 30)]
    near = min(mixes, key=lambda parts: float(delta_e_00(predict(tubes, parts), plain)))
    lamp = viewing("A")
    under_lamp = reflectance_to_lab(reflectance(tubes, near), lamp)
    plain_tubes = [built_in_tube("mars-black"), built_in_tube(WHITE)]
    plain_under_lamp = reflectance_to_lab(reflectance(plain_tubes, [1.0, 12.0]), lamp)
    apart = float(delta_e_00(predict(tubes, near), plain))
    assert float(delta_e_00(under_lamp, plain_under_lamp)) > apart + 0.5
