"""A layer and a medium said on a slip: kept, told, taken back; and what is refused."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from refmatch.errors import UsageError
from refmatch.web.desk import Desk
from refmatch.web.page import sitting_shown
from refmatch.web.prints import plan_shown
from refmatch.web.shelf import Shelf

ROOT = Path(__file__).parents[2]
PHOTO = ROOT / "sample_images" / "garden-table.jpg"


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A painting of the garden table with two holes."""
    shelf = Shelf(tmp_path_factory.mktemp("begun"))
    key = shelf.new_from_photo(PHOTO)
    desk = shelf.open(key)
    for x_px, y_px in ((983.0, 896.0), (1258.0, 736.0)):
        do(desk, "punch", x_px=x_px, y_px=y_px)
    return shelf.folder_of(key)


@pytest.fixture
def desk(tmp_path: Path, begun: Path) -> Desk:
    shelf = Shelf(tmp_path / "paintings")
    folder = shelf.folder / begun.name
    shutil.copytree(begun, folder)
    return shelf.open(shelf.open_folder(folder))


def do(desk: Desk, change: str, **fields: object) -> None:
    desk.change(desk.sitting().painting.revision, change, fields)


def test_a_slip_says_its_layer_and_its_medium(desk: Desk) -> None:
    first, second = sitting_shown(desk.sitting())["holes"]
    assert (first["layer"], first["layer_words"]) == ("", "")
    do(desk, "layer", hole=first["key"], layer="underpainting", medium="solvent", percent=40)
    shown = sitting_shown(desk.sitting())
    first, second = shown["holes"]
    assert first["layer"] == "underpainting"
    assert first["layer_words"].startswith("Underpainting, with solvent, 2 parts to 3 of paint;")
    assert second["layer_words"].startswith("Finish, with no medium;")
    assert shown["undo"] == "change the layer of hole 1"
    desk.undo(shown["revision"])
    assert sitting_shown(desk.sitting())["holes"][0]["layer_words"] == ""


def test_the_plan_is_told_by_layers(desk: Desk) -> None:
    first = sitting_shown(desk.sitting())["holes"][0]
    do(desk, "layer", hole=first["key"], layer="block-in", medium="alkyd", percent=None)
    do(desk, "plan", keyed=True)
    plan = plan_shown(desk.sitting().painting)["plan"]
    assert [layer["layer"] for layer in plan["layers"]] == ["block-in", "finish"]
    assert {puddle["layer"] for puddle in plan["puddles"]["order"]} == {"block-in", "finish"}


def test_all_that_may_be_chosen_is_told(desk: Desk) -> None:
    shown = sitting_shown(desk.sitting())
    assert shown["layer_names"] == ["underpainting", "block-in", "finish", "glaze"]
    assert [medium["key"] for medium in shown["mediums"]][:2] == ["none", "solvent"]


def test_a_medium_brings_its_care_with_it(desk: Desk) -> None:
    """Oily rags can catch fire by themselves: common practice, no source."""
    key = sitting_shown(desk.sitting())["holes"][0]["key"]
    assert sitting_shown(desk.sitting())["cares"] == []
    do(desk, "layer", hole=key, layer="finish", medium="linseed", percent=None)
    (care,) = sitting_shown(desk.sitting())["cares"]
    assert care.startswith("Rags with oil")


def test_the_ground_is_said_told_and_forgotten(desk: Desk) -> None:
    shown = sitting_shown(desk.sitting())
    assert (shown["ground"], shown["ground_words"]) == ("", "")
    assert "toned" in shown["grounds"]
    do(desk, "ground", ground="toned")
    shown = sitting_shown(desk.sitting())
    assert shown["ground"] == "toned"
    assert shown["ground_words"].startswith("The colours alone on a toned ground of value")
    do(desk, "ground", ground="")
    assert sitting_shown(desk.sitting())["ground_words"] == ""
    with pytest.raises(UsageError):
        do(desk, "ground", ground="brocade")


def test_the_dry_passage_is_met_until_the_photo_is(desk: Desk) -> None:
    """What the prompt's --dry does: the target is that colour, and no key moves it."""
    hole = sitting_shown(desk.sitting())["holes"][0]
    assert (hole["dry"], hole["seen_dry"]) == (None, None)
    do(desk, "dry", hole=hole["key"], lightness=62.0, a=4.0, b=38.0)
    met = sitting_shown(desk.sitting())["holes"][0]
    assert met["dry"]["lab"] == met["colour"]["lab"] == [62.0, 4.0, 38.0]
    assert any(flag["name"] == "dry_passage" for flag in met["flags"])
    do(desk, "dry", hole=hole["key"])
    assert sitting_shown(desk.sitting())["holes"][0]["colour"] == hole["colour"]
    with pytest.raises(UsageError):
        do(desk, "dry", hole=hole["key"], lightness=62.0, a=4.0, b=400.0)


def test_no_two_holes_share_a_heading(desk: Desk) -> None:
    for x_px, y_px in ((983.0, 896.0), (985.0, 899.0), (983.0, 902.0)):
        do(desk, "punch", x_px=x_px, y_px=y_px)
    headings = [hole["heading"] for hole in sitting_shown(desk.sitting())["holes"]]
    assert len(set(headings)) == len(headings) == 5


@pytest.mark.parametrize(
    "fields",
    [
        {"layer": "varnish", "medium": ""},
        {"layer": "finish", "medium": "butter"},
        {"layer": "finish", "medium": "linseed", "percent": 95},
        {"layer": 3, "medium": ""},
    ],
)
def test_what_is_no_layer_is_refused(desk: Desk, fields: dict[str, object]) -> None:
    key = sitting_shown(desk.sitting())["holes"][0]["key"]
    before = desk.sitting().painting.asked
    with pytest.raises(UsageError):
        do(desk, "layer", hole=key, **fields)
    assert desk.sitting().painting.asked == before
