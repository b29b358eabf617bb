"""Finding pigments by the names that painters and tubes use."""

from __future__ import annotations

import csv
import re
import tomllib
from pathlib import Path

import numpy as np
import pytest

from refmatch.errors import BoxError, UnknownTube
from refmatch.paint.library import advisable, find_pigment, mixtures, pigments, short_name
from refmatch.say.sentence import sentence_of
from tests.refusals import refused

TABLE = Path(__file__).parents[1] / "data" / "pigments_from_memory.csv"
PROVENANCES = {"published", "fitted", "from memory"}


def rows() -> list[dict[str, str]]:
    with TABLE.open(encoding="utf-8") as lines:
        return list(csv.DictReader(line for line in lines if not line.startswith("#")))


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["key"])
def test_every_pigment_of_the_table_is_there_with_its_properties(row: dict[str, str]) -> None:
    found = pigments()[row["key"]]
    assert found.index_names == tuple(row["index_names"].split())
    assert found.principal == (row["principal"] == "yes")
    assert found.opacity == row["opacity"]
    assert found.tinting_strength == int(row["strength"])
    assert found.drying == row["drying"]
    assert found.lightfastness == row["lightfastness"]


def test_the_table_holds_the_usual_forty_and_more() -> None:
    assert len(rows()) >= 43
    assert len(pigments()) >= 46


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("PW6", "titanium-white"),
        ("pw6", "titanium-white"),
        ("PR108", "cadmium-red-light"),
        ("PR101", "red-iron-oxide"),
        ("PV19", "quinacridone-rose"),
        ("PY42", "yellow-ochre"),
        ("PB15:3", "phthalo-blue"),
        ("Burnt Sienna", "burnt-sienna"),
        ("burnt-sienna", "burnt-sienna"),
    ],
)
def test_a_name_finds_its_pigment(name: str, key: str) -> None:
    assert find_pigment(name).key == key


def test_an_index_name_of_four_pigments_is_refused_naming_the_four() -> None:
    with pytest.raises(BoxError) as refusal:
        find_pigment("PBr7")
    for key in ("raw-sienna", "burnt-sienna", "raw-umber", "burnt-umber"):
        assert key in sentence_of(refusal.value)


def test_an_unknown_name_is_answered_with_the_near_ones() -> None:
    with refused(UnknownTube, match="ultramarine-blue"):
        find_pigment("ultramarin blue")


def test_short_names_lead_back_to_their_pigment() -> None:
    for pigment in pigments().values():
        assert find_pigment(short_name(pigment)) is pigment
    assert short_name(pigments()["burnt-sienna"]) == "burnt-sienna"
    assert short_name(pigments()["titanium-white"]) == "PW6"


@pytest.mark.parametrize("metal", ["cadmium", "cobalt", "lead"])
def test_metals_in_the_name_are_cautioned(metal: str) -> None:
    """Labels of such paints carry a caution (ASTM D4236); the copper blues do not."""
    named = [p for key, p in pigments().items() if key.startswith(metal)]
    assert named
    for pigment in named:
        assert metal in pigment.cautions


def test_every_figure_has_a_source_and_a_provenance() -> None:
    for pigment in pigments().values():
        for table in (pigment.raw["properties"], pigment.raw["curve"]):
            assert table["provenance"] in PROVENANCES
            assert table["source"]
        assert pigment.raw["curve"]["doubt_provenance"] in PROVENANCES
        assert 0.0 < pigment.doubt < 1.0
    assert pigments()["raw-umber"].doubt > pigments()["burnt-umber"].doubt


@pytest.mark.parametrize(
    "key", ["paynes-grey", "indigo-hue", "sap-green-hue", "flesh-tint", "naples-yellow-hue"]
)
def test_convenience_tubes_are_parts_of_known_pigments(key: str) -> None:
    portions = mixtures()[key].portions
    assert len(portions) >= 2
    for pigment, parts in portions:
        assert pigment in pigments()
        assert parts > 0.0


def test_curves_are_positive_and_whites_are_white() -> None:
    for pigment in pigments().values():
        assert pigment.absorption.shape == pigment.scattering.shape == (31,)
        assert np.all(pigment.absorption > 0.0)
        assert np.all(pigment.scattering > 0.0)
    np.testing.assert_array_equal(pigments()["titanium-white"].scattering, 1.0)


def test_the_page_on_adding_a_paint_shows_the_form_of_the_files() -> None:
    page = (Path(__file__).parents[2] / "docs" / "add-a-paint.md").read_text("utf-8")
    blocks = re.findall(r"(?:^ {4}.*\n|^\n(?= {4}))+", page, re.MULTILINE)
    pigment, mixture = (tomllib.loads(re.sub(r"^ {4}", "", b, flags=re.M)) for b in blocks)
    built_in = pigments()["burnt-sienna"].raw
    assert set(pigment) == set(built_in)
    for table in ("properties", "curve"):
        assert set(pigment[table]) == set(built_in[table])
    assert len(pigment["curve"]["absorption"]) == len(pigment["curve"]["scattering"]) == 31
    assert all(portion["pigment"] in pigments() for portion in mixture["portions"])


def test_advice_names_no_pigment_twice_though_two_media_tell_of_it() -> None:
    named = advisable()
    assert {"ultramarine-blue", "cobalt-blue", "viridian"} <= set(named)
    assert set(pigments()) - set(named) == {"ultramarine-blue-oil", "cobalt-blue-oil"}
