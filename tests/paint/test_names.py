"""Names as labels write them: what they find, what is asked about, what a neighbour costs.

Which pigment a common name stands for is common practice, no source; Colour Index names are from
memory of the Index.
"""

from __future__ import annotations

import re

import numpy as np
import pytest

from refmatch.colorimetry.spectrum import BANDS
from refmatch.errors import BoxError, UnknownTube
from refmatch.paint.box import Box, Tube, built_in_tube
from refmatch.paint.box_file import box_from_toml, box_to_toml, built_in_box
from refmatch.paint.fit.belief import tint_doubt, ways_of
from refmatch.paint.labelled import tube_labelled
from refmatch.paint.library import find_paint, mixtures, pigments
from refmatch.paint.names import Neighbour, common_names, neighbours, words_of
from refmatch.paint.portions import portions_of
from refmatch.say.sentence import sentence_of
from tests.refusals import refused

LABELS = {
    "French ultramarine": "ultramarine-blue",
    "French Ultramarine (deep)": "ultramarine-blue",
    "FRENCH-ULTRAMARINE": "ultramarine-blue",
    "C.I. Pigment Blue 29": "ultramarine-blue",
    "P.B. 29": "ultramarine-blue",
    "Permanent rose": "quinacridone-rose",
    "Sap green": "sap-green-hue",
    "Hooker's green": "hookers-green",
    "Hooker’s Green": "hookers-green",
    "Payne's gray": "paynes-grey",
    "paynes grey": "paynes-grey",
    "Indigo": "indigo-hue",
    "Naples yellow": "naples-yellow-hue",
    "Lemon yellow": "hansa-yellow-light",
    "Flake white": "lead-white",
    "Flake white hue": "flake-white-hue",
    "Venetian red": "red-iron-oxide",
    "English red": "red-iron-oxide",
    "Light red": "red-iron-oxide",
    "Vandyke brown": "vandyke-brown",
    "Van Dyke brown": "vandyke-brown",
    "Sepia": "sepia",
    "Flesh tint": "flesh-tint",
    "Davy's grey": "davys-grey",
    "Zinc white": "zinc-white",
    "Mixing white": "mixing-white",
    "Titanium/zinc white": "mixing-white",
    "Warm white": "warm-white",
    "Bone black": "ivory-black",
    "Ivory black": "ivory-black",
    "Mars black": "mars-black",
    "Lamp black": "lamp-black",
    "Cobalt blue hue": "cobalt-blue-hue",
    "Cerulean blue hue": "cerulean-blue-hue",
    "Cœruleum hue": "cerulean-blue-hue",
    "Prussian blue": "prussian-blue",
    "King's blue": "kings-blue",
    "Cadmium yellow lt.": "cadmium-yellow-light",
    "Cad. yellow med.": "cadmium-yellow",
    "Terre-Verte": "green-earth",
    "Phthalo blue (GS)": "phthalo-blue",
    "Thalo green": "phthalo-green",
    "Titanium buff": "unbleached-titanium",
    "Transparent oxide red": "transparent-red-oxide",
    "Yellow ochre pale": "yellow-ochre",
}  # fmt: skip

TAKEN_FOR = {
    "Alizarin crimson hue": "anthraquinone-crimson",
    "Permanent alizarin crimson": "anthraquinone-crimson",
    "Indian red": "red-iron-oxide",
    "Viridian hue": "phthalo-green",
    "Manganese blue hue": "phthalo-blue",
    "Cadmium red hue": "pyrrole-red",
    "Cadmium yellow hue": "hansa-yellow",
    "Cadmium lemon (hue)": "hansa-yellow-light",
    "Raw umber hue": "raw-umber",
    "Rose madder": "alizarin-crimson",
    "Quinacridone gold": "transparent-red-oxide",
    "PY150": "azo-green-gold",
    "py 150": "azo-green-gold",
    "Nickel azo yellow": "azo-green-gold",
    "PR255": "pyrrole-red",
    "PBk8": "ivory-black",
    "PW5": "zinc-white",
    "PB15:6": "phthalo-blue",
}


@pytest.mark.parametrize(("label", "key"), LABELS.items())
def test_a_label_finds_its_paint(label: str, key: str) -> None:
    assert find_paint(label.replace("œ", "oe")).key == key
    assert tube_labelled(label.replace("œ", "oe")).paints == (key,)


@pytest.mark.parametrize(("label", "key"), TAKEN_FOR.items())
def test_a_label_without_curves_names_its_neighbour_and_what_that_costs(
    label: str, key: str
) -> None:
    tube = tube_labelled(label)
    assert (tube.source, tube.neighbour) == ("neighbour", key)
    (flag,) = tube.flags
    assert key in sentence_of(flag)
    assert re.search(r"it may be \d+ ΔE00 off, where another maker's", sentence_of(flag))
    assert tint_doubt(tube) > 1.5 * tint_doubt(built_in_tube(key))


def test_a_neighbour_is_written_and_read_back_with_its_doubt() -> None:
    box = Box("orchard", (built_in_tube("PW6"), tube_labelled("PY150", "gold", "student")))
    again = box_from_toml(box_to_toml(box))
    tube = again.tube("nickel azo yellow")
    assert (tube.name, tube.pigments, tube.neighbour) == ("gold", ("PY150",), "azo-green-gold")
    assert tube.flags == box.tubes[1].flags
    assert tint_doubt(tube) == pytest.approx(tint_doubt(box.tubes[1]))
    assert box_to_toml(again) == box_to_toml(box)


def test_a_file_by_hand_may_name_a_code_alone() -> None:
    text = 'format = "refmatch-box"\nversion = 1\n[[tube]]\nname = "scarlet"\npigments = ["PR255"]'
    assert box_from_toml(text).tubes[0].neighbour == "pyrrole-red"


def test_every_row_of_the_tables_leads_to_a_known_paint() -> None:
    known = {*pigments(), *mixtures()}
    assert {key for keys in common_names().values() for key in keys} <= known
    for row in neighbours():
        assert row.neighbour in known
        assert row.holds in {"", *pigments()}
        assert row.why
        for name in (row.label, *row.names):
            assert isinstance(find_paint(name), Neighbour), name


CURRENT = re.findall(
    r"\S+",
    """
PY1 PY3 PY35 PY37 PY40 PY42 PY43 PY53 PY65 PY73 PY74 PY83 PY97 PY110 PY129 PY138 PY139 PY150 PY151
PY154 PY155 PY175 PY184 PY216 PO20 PO43 PO48 PO49 PO62 PO64 PO67 PO71 PO73 PR3 PR9 PR83 PR101 PR102
PR106 PR108 PR112 PR122 PR144 PR146 PR149 PR166 PR168 PR170 PR175 PR176 PR177 PR178 PR179 PR188
PR202 PR206 PR207 PR209 PR233 PR242 PR254 PR255 PR259 PR264 PV14 PV15 PV16 PV19 PV23 PV29 PV32 PV37
PV42 PV49 PV55 PB15 PB15:1 PB15:3 PB15:4 PB15:6 PB16 PB27 PB28 PB29 PB31 PB33 PB35 PB36 PB60 PB66
PB71 PB72 PB73 PB74 PB86 PG7 PG8 PG10 PG17 PG18 PG19 PG23 PG26 PG36 PG50 PBr6 PBr8 PBr23 PBr24
PBr25 PBr33 PBr41 PBr42 PBk6 PBk7 PBk8 PBk9 PBk10 PBk11 PBk14 PBk19 PBk26 PBk28 PBk31 PW1 PW4 PW5
PW6 PW7 PW18 PW20 PW21 NR9 NBr8
""",
)
"""Codes that labels of artists' paints carry today; from memory."""


@pytest.mark.parametrize("code", CURRENT)
def test_colour_index_names_of_artists_paints_are_known(code: str) -> None:
    assert find_paint(code).key
    assert find_paint(code.lower()) is find_paint(code)


@pytest.mark.parametrize(
    ("label", "choices"),
    [
        ("umber", ("burnt-umber", "raw-umber")),
        ("Sienna", ("burnt-sienna", "raw-sienna")),
        ("cadmium red", ("cadmium-red-light", "cadmium-red-deep")),
        ("cerulean", ("cerulean-blue", "cerulean-blue-chromium")),
        ("PBr7", ("raw-sienna", "burnt-sienna", "raw-umber", "burnt-umber")),
    ],
)
def test_an_ambiguous_name_is_asked_about_in_one_sentence(
    label: str, choices: tuple[str, ...]
) -> None:
    for ask in (lambda: find_paint(label), lambda: portions_of([f"{label}=1"], None)):
        with pytest.raises(BoxError) as asked:
            ask()
        assert not isinstance(asked.value, UnknownTube)
        assert all(choice in sentence_of(asked.value) for choice in choices)


@pytest.mark.parametrize(
    ("misspelt", "meant"),
    [
        ("french ultramarin", "French ultramarine"),
        ("hokers green", "Hooker green"),
        ("naples yelow", "Naples yellow"),
        ("alizerin crimson", "alizarin-crimson"),
        ("verdian", "viridian"),
    ],
)
def test_a_misspelt_name_suggests_the_nearest(misspelt: str, meant: str) -> None:
    with refused(UnknownTube, match=f"did you mean: .*{meant}"):
        find_paint(misspelt)


def test_a_box_is_asked_by_any_name_of_its_tubes() -> None:
    box = built_in_box()
    assert box.tube("French Ultramarine").name == "ultramarine"
    assert box.tube("white").name == "titanium white"
    rose = Box("roses", (built_in_tube("PW6"), built_in_tube("PV19", "mine")))
    assert rose.tube("Permanent rose") is rose.tube("PV19") is rose.tube("mine")
    with refused(BoxError, match="burnt sienna or burnt umber of this box"):
        box.tube("burnt")
    with refused(UnknownTube, match="did you mean: ultramarine"):
        box.tube("fench ultramarin")


def test_the_code_of_two_media_means_the_plain_one() -> None:
    box = Box("both", (built_in_tube("ultramarine-blue-oil"), built_in_tube("PB29", "mine")))
    assert box.tube("PB29").name == "mine"


def test_a_students_line_is_weaker_and_less_sure() -> None:
    artist, student = tube_labelled("PB29"), tube_labelled("PB29", grade="student")
    assert student.absorption.sum() < artist.absorption.sum()
    assert strength_doubt(student) > 1.1 * strength_doubt(artist)


def strength_doubt(tube: Tube) -> float:
    """Return the standard error of ln strength, all bands alike."""
    return float(np.sqrt((ways_of(tube)[:, :BANDS].mean(axis=1) ** 2).sum()))


def test_one_spelling_of_each_name() -> None:
    assert words_of("  Rosé-Madder (Genuine) ") == "rose madder genuine"
    assert words_of("PB15.3") == words_of("pb 15:3") == "pb15:3"
