"""Layers beside what the trade says of them: fat over lean, and what dries fast or slowly.

The trade's rules are common practice, no source; the oil absorptions are those that handbooks give
after ASTM D281, from memory.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from refmatch.colorimetry.lab import reflectance_to_lab
from refmatch.errors import UsageError
from refmatch.paint.box import Box, built_in_tube
from refmatch.paint.kubelka_munk import FINISHES, opaque_reflectance, to_measured
from refmatch.paint.library import pigments
from refmatch.paint.oil import in_oil, mediums, oil_share
from refmatch.plan.amounts import Canvas
from refmatch.plan.layers import (
    LAYERS,
    Coat,
    Paint,
    coat,
    days_of,
    layers_of,
    oil_in,
    painted,
    shine,
)
from refmatch.recipe.mixture import predict
from refmatch.say.layers import days_words, parts_words
from refmatch.say.sentence import sentence_of


def paint(*mix: tuple[str, float], target: int = 0, share: float = 1.0) -> Paint:
    tubes = [built_in_tube(name) for name, _ in mix]
    label = f"{target}: {mix[0][0]}"
    return Paint(target, label, tubes, np.array([part for _, part in mix]), share)


def alone(name: str) -> float:
    return oil_share([built_in_tube(name)], [1.0])


def test_every_pigment_has_its_row() -> None:
    assert in_oil().keys() == pigments().keys()


@pytest.mark.parametrize("key", sorted(pigments()))
def test_days_are_those_of_the_pigments_own_class(key: str) -> None:
    """Fast within four days, slow from four on, middling between (common practice)."""
    least, most = in_oil()[key].days
    drying = pigments()[key].drying
    assert least < most
    assert {"F": most <= 4.0, "M": least >= 3.0 and most <= 8.0, "S": least >= 4.0}[drying]


def test_the_driers_of_the_trade_are_the_fastest_and_the_lakes_the_slowest() -> None:
    """Umbers, cobalt, Prussian blue, lead; alizarin, quinacridone, blacks of bone and soot."""
    middle = {key: sum(row.days) / 2.0 for key, row in in_oil().items()}
    quick = ("raw-umber", "burnt-umber", "cobalt-blue", "prussian-blue", "lead-white")
    slow = ("alizarin-crimson", "quinacridone-rose", "ivory-black", "lamp-black")
    usual = ("ultramarine-blue", "yellow-ochre", "phthalo-green")
    assert max(middle[key] for key in quick) < min(middle[key] for key in usual)
    assert max(middle[key] for key in usual) < min(middle[key] for key in slow)


@pytest.mark.parametrize(
    ("key", "least_g", "most_g"),
    [
        ("lead-white", 8, 15),
        ("titanium-white", 15, 27),
        ("ultramarine-blue", 27, 40),
        ("red-iron-oxide", 15, 30),
        ("chromium-oxide-green", 10, 22),
        ("phthalo-blue", 30, 65),
        ("lamp-black", 80, 200),
    ],
)
def test_oil_absorption_is_within_what_handbooks_give(
    key: str, least_g: float, most_g: float
) -> None:
    least, most = in_oil()[key].oil_g
    assert least_g <= least < most <= most_g


def test_the_trade_s_fat_and_lean_paints() -> None:
    """Umbers, lakes and lamp black are fat; lead and titanium white lean (trade)."""
    fat = [alone(name) for name in ("raw-umber", "burnt-umber", "alizarin-crimson", "lamp-black")]
    lean = [alone(name) for name in ("lead-white", "titanium-white")]
    assert min(fat) > max(lean) + 0.05
    assert 0.3 < min(lean) < max(fat) < 0.8


def test_oil_of_a_mix_is_that_of_its_parts() -> None:
    mix = paint(("titanium-white", 3), ("burnt-umber", 1))
    by_hand = (3 * alone("titanium-white") + alone("burnt-umber")) / 4
    assert oil_in(mix, Coat()) == pytest.approx(by_hand)
    assert oil_in(mix, Coat("finish", "linseed", 0.2)) == pytest.approx(0.8 * by_hand + 0.2)
    assert oil_in(mix, Coat("block-in", "solvent", 0.5)) == pytest.approx(0.5 * by_hand)


UMBER = paint(("burnt-umber", 1), target=0)
WHITE = paint(("titanium-white", 4), ("yellow-ochre", 1), target=1)


def flags_of(*coats: Coat) -> list[str]:
    return [flag.name for layer in layers_of([UMBER, WHITE], coats) for flag in layer.flags]


def test_white_over_an_unthinned_umber_is_lean_over_fat() -> None:
    assert flags_of(Coat("underpainting"), Coat("finish")) == ["lean_over_fat"]


def test_thinned_umber_beneath_is_the_trade_s_own_way() -> None:
    """An umber underpainting in solvent, paint from the tube on it: as taught everywhere."""
    thinned = Coat("underpainting", "solvent", 0.4)
    assert "lean_over_fat" not in flags_of(thinned, Coat("finish"))
    assert "lean_over_fat" not in flags_of(thinned, Coat("finish", "stand-oil", 0.1))


def test_what_is_told_to_be_done_mends_it() -> None:
    ochre = paint(("raw-sienna", 1), ("titanium-white", 1), target=0)
    over = layers_of([ochre, WHITE], [Coat("underpainting"), Coat("finish")])[1]
    (flag,) = over.flags
    add, thin = (flag.values[key] for key in ("add_percent", "thin_percent"))
    assert isinstance(add, int)
    assert isinstance(thin, int)
    for coats in (
        [Coat("underpainting"), Coat("finish", "linseed", add / 100)],
        [Coat("underpainting", "solvent", thin / 100), Coat("finish")],
    ):
        assert [layer.flags for layer in layers_of([ochre, WHITE], coats)] == [(), ()]
    told = sentence_of(flag)
    assert "leaner than the underpainting" in told
    assert "linseed oil" in told
    assert "solvent" in told
    assert told.count(".") == 1


def test_what_is_told_is_never_more_medium_than_is_usual() -> None:
    """A quarter of oil is in the underpainting, a tenth in the finish: more is told besides it."""
    coats = [Coat("underpainting", "linseed", 0.25), Coat("finish", "linseed", 0.1)]
    (flag,) = layers_of([UMBER, WHITE], coats)[1].flags
    assert flag.values["add_percent"] is None  # with the tenth it would be beyond the most
    assert sentence_of(flag).endswith(": take less medium, or none, into the underpainting.")
    ochre = paint(("raw-sienna", 1), ("titanium-white", 1), target=0)
    coats = [Coat("underpainting"), Coat("finish", "linseed", 0.02)]
    (flag,) = layers_of([ochre, WHITE], coats)[1].flags
    assert "besides the medium in it" in sentence_of(flag)


def test_layers_stand_from_the_canvas_up_whatever_the_order_asked() -> None:
    layers = layers_of([UMBER, WHITE], [Coat("glaze"), Coat("block-in")])
    assert [layer.name for layer in layers] == ["block-in", "glaze"]
    assert [puddle.target for layer in layers for puddle in layer.puddles] == [1, 0]


def test_a_quick_layer_over_a_slow_one_is_told() -> None:
    """Alkyd over alizarin (trade); the other way round is how it is done."""
    slow, quick = paint(("alizarin-crimson", 1), target=0), paint(("burnt-umber", 1), target=1)
    coats = [Coat("block-in"), Coat("finish", "alkyd", 0.3)]
    names = [flag.name for layer in layers_of([slow, quick], coats) for flag in layer.flags]
    assert "quick_over_slow" in names
    coats = [Coat("finish"), Coat("block-in", "alkyd", 0.3)]
    names = [flag.name for layer in layers_of([slow, quick], coats) for flag in layer.flags]
    assert "quick_over_slow" not in names


def test_alkyd_shortens_and_stand_oil_lengthens() -> None:
    """With a fifth of alkyd most paints are dry to the touch in a day or two (trade)."""
    plain = days_of(WHITE, Coat("finish"))
    alkyd = days_of(WHITE, Coat("finish", "alkyd", 0.2))
    assert alkyd.longest < 0.5 * plain.longest
    assert alkyd.longest < 3.0
    assert days_of(WHITE, Coat("finish", "stand-oil", 0.2)).longest > plain.longest


def test_a_little_umber_hurries_white() -> None:
    mixed = paint(("titanium-white", 4), ("raw-umber", 1))
    white = paint(("titanium-white", 1))
    assert days_of(mixed, Coat()).longest < 0.8 * days_of(white, Coat()).longest


def test_thin_films_dry_before_thick_ones() -> None:
    days = [days_of(WHITE, Coat(layer)) for layer in ("underpainting", "block-in", "finish")]
    assert days == sorted(days)
    assert days_of(WHITE, Coat("finish", "gel", 0.2)).longest > days[-1].longest


@pytest.mark.parametrize("finish", FINISHES)
def test_a_clear_medium_leaves_the_colour_and_changes_the_skin(finish: str) -> None:
    """K and S both fall by the medium's share: the masstone of Kubelka and Munk has their ratio."""
    box = Box("two", tuple(WHITE.tubes))
    share = WHITE.net / WHITE.net.sum()
    absorption = share @ np.stack([tube.absorption for tube in WHITE.tubes])
    scattering = share @ np.stack([tube.scattering for tube in WHITE.tubes])
    inner = opaque_reflectance(0.7 * absorption / (0.7 * scattering))
    thinned = reflectance_to_lab(to_measured(inner, box.surface))
    assert thinned == pytest.approx(predict(WHITE.tubes, WHITE.net.tolist(), box.surface))
    for medium in mediums().values():
        moved = shine(box, WHITE, medium, finish)
        assert (moved == 0.0) == (medium.finish in ("", finish))


def test_a_dark_sinks_more_than_a_light() -> None:
    """Matt skins lighten darks most (trade: sunken darks)."""
    box = Box("two", (*UMBER.tubes, *WHITE.tubes))
    wax = mediums()["wax"]
    assert shine(box, UMBER, wax, "gloss") > 2.0 * shine(box, WHITE, wax, "gloss")


def test_each_layer_covers_the_canvas_and_a_glaze_only_its_own() -> None:
    coats = [Coat("underpainting", "solvent", 0.5), Coat("finish"), Coat("finish"), Coat("glaze")]
    films = painted(coats, np.array([0.3, 0.3, 0.1, 0.1]))
    assert films == pytest.approx([0.3 * 0.5, 0.75, 0.25, 0.2 * 0.1])
    assert Canvas(40.0, 30.0).film_ml == pytest.approx(12.0)


def test_too_much_medium_is_told() -> None:
    assert flags_of(Coat("underpainting", "solvent", 0.7), Coat("finish", "linseed", 0.4)) == [
        "too_much_medium",
        "too_much_medium",
    ]


def test_unknown_paint_is_told() -> None:
    tube = built_in_tube("titanium-white")
    own = Paint(0, "own", [replace(tube, name="mystery", keys=())], np.ones(1), 1.0)
    (layer,) = layers_of([own], [Coat()])
    assert [flag.name for flag in layer.flags] == ["drying_not_known"]
    assert "mystery" in sentence_of(layer.flags[0])


@pytest.mark.parametrize(
    ("layer", "medium", "share", "name"),
    [
        ("varnish", "", None, "no_such_layer"),
        ("finish", "butter", None, "no_such_medium"),
        ("finish", "linseed", 1.5, "medium_share_not_offered"),
        ("finish", "none", 0.1, "medium_share_not_offered"),
        ("finish", "linseed", float("nan"), "medium_share_not_offered"),
    ],
)
def test_what_is_no_layer_is_refused(
    layer: str, medium: str, share: float | None, name: str
) -> None:
    with pytest.raises(UsageError) as raised:
        coat(layer, medium, share)
    assert raised.value.name == name
    assert sentence_of(raised.value).endswith(".")


def test_a_medium_is_usual_where_no_share_is_said() -> None:
    assert coat("", "stand-oil") == Coat("finish", "stand-oil", 0.1)
    assert coat("glaze") == Coat("glaze", "none", 0.0)
    assert list(LAYERS) == ["underpainting", "block-in", "finish", "glaze"]


@pytest.mark.parametrize(
    ("days", "words"),
    [
        ((0.2, 0.9), "within a day"),
        ((1.6, 4.2), "2–5\u00a0days"),
        ((3.4, 3.0), "about 3 days"),
        ((0.3, 2.0), "1–2\u00a0days"),
    ],
)
def test_days_in_words(days: tuple[float, float], words: str) -> None:
    assert days_words(days) == words


def test_parts_in_words() -> None:
    assert parts_words(0.1) == "1 part to 9 of paint"
    assert parts_words(0.3) == "3 parts to 7 of paint"
    assert parts_words(0.25) == "1 part to 3 of paint"
