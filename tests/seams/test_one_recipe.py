"""Under a plan a colour has one recipe: the plan's puddle, whoever tells of it."""

from __future__ import annotations

from collections import defaultdict
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from tests.seams.doors import Doors, Json, by_command, by_page, laid

SAMPLES = Path(__file__).parents[2] / "sample_images"

CASES: dict[str, tuple[str, tuple[object, ...], list[Json]]] = {
    "garden table": (
        "garden-table.jpg",
        ("--families", 8, "--palette", 6),
        [{"do": "punch_masses", "count": 8}, {"do": "plan", "keyed": True, "tubes": 6}],
    ),
    "orchard in shade, three tubes a mix and easy on black": (
        "orchard-shade.jpg",
        ("--families", 8, "--palette", 5, "--tubes", 3, "--total", 12, "--easy-on-black"),
        [
            {"do": "punch_masses", "count": 8},
            {"do": "options", "tubes": 3, "total": 12, "easy_on_black": True},
            {"do": "plan", "keyed": True, "tubes": 5},
        ],
    ),
}
"""Sample photos, what is asked at the prompt, and the same on the page."""


class Told:
    """One planned painting, through both doors."""

    def __init__(self, folder: Path, name: str) -> None:
        photo, words, changes = CASES[name]
        doors = Doors.on(folder / "photo.png", folder)
        with Image.open(SAMPLES / photo) as picture:
            picture.convert("RGB").reduce(4).save(doors.photo)
        self.doors, self.folder = doors, doors.folder / "planned"
        self.most_tubes = 3 if "--tubes" in words else 4
        self.made = doors.told("sheet", doors.photo, *words, "--plan", "--painting", self.folder)
        self.base = doors.begun(*changes)
        self.content = self.made["written"]["content"]
        self.plan = self.content["plan"]
        self.order = self.plan["puddles"]["order"]

    def puddle_of(self, label: str) -> Json:
        """Return the puddle of a target in the order of work."""
        (puddle,) = (each for each in self.order if each["target"] == label)
        return puddle

    def from_puddle(self, puddle: Json) -> Json | None:
        """Return what a puddle is drawn from, as a recipe tells it."""
        if puddle["drawn_from"] is None:
            return None
        labels = [each["label"] for each in self.order]
        place = labels.index(puddle["drawn_from"])
        return {
            "number": place + 1,
            "label": puddle["drawn_from"],
            "parts": puddle["of_it"],
            "lab": self.order[place]["lab"],
        }


@pytest.fixture(scope="module", params=CASES)
def told(tmp_path_factory: pytest.TempPathFactory, request: pytest.FixtureRequest) -> Told:
    """A case's painting; a test that changes it changes it back."""
    return Told(tmp_path_factory.mktemp("doors"), request.param)


def as_told(recipe: Json) -> tuple[Any, ...]:
    return recipe["lab"], recipe["delta_e_00"], laid(recipe), recipe["from_puddle"]


def test_every_colour_has_the_recipe_of_its_puddle_in_the_order_of_work(told: Told) -> None:
    page = told.doors.page(told.base)
    view = told.doors.page(told.base, f"/plan?tubes={len(told.plan['palette']['tubes'])}")
    orders = [(each["label"], each["words"]) for each in told.order]
    shown = view["plan"]["puddles"]["order"]
    assert [(each["label"], each["words"]) for each in shown] == orders
    drawn = 0
    rows = zip(told.made["targets"], told.plan["targets"], page["holes"], strict=True)
    for target, planned, hole in rows:
        puddle = told.puddle_of(target["label"])
        expected = as_told({**puddle, "from_puddle": told.from_puddle(puddle)})
        drawn += puddle["drawn_from"] is not None
        assert target["chosen"] == hole["chosen"] == 0
        for recipe in (target["recipes"][0], planned["recipe"], hole["recipes"][0]):
            assert as_told(recipe) == expected
            assert recipe["steps"][-1]["lab"] == puddle["lab"]
    assert drawn
    _check_slips(told)
    opened = told.doors.page(told.doors.opened(told.folder))
    assert by_page(page) == by_page(opened) == by_command(told.made)


def _check_slips(told: Told) -> None:
    """A slip lays out what the order of work does, and its tubes are all that goes in."""
    shares = _shares(told.order)
    slips = told.content["slips"]
    served = [number for slip in slips for number in (slip["number"], *slip["also"])]
    assert sorted(served) == list(range(1, len(told.made["targets"]) + 1))
    for slip in slips:
        target = told.made["targets"][slip["number"] - 1]
        puddle = told.puddle_of(target["label"])
        source = told.from_puddle(puddle)
        figures = [str(line["parts"]) for line in puddle["laid_out"]]
        if source:
            figures = [str(source["parts"]), *figures]
            assert slip["parts"][0]["lab"] == source["lab"]
            assert slip["steps"][0]["lab"] == source["lab"]
            assert f"puddle {source['number']}" in slip["steps"][0]["words"]
            assert slip["straight"]
        else:
            assert not slip["straight"]
        assert [part["figure"] for part in slip["parts"]] == figures
        assert slip["mix"] == slip["steps"][-1]["lab"] == puddle["lab"]
        portions = target["recipes"][0]["portions"]
        total = sum(portion["parts"] for portion in portions)
        net = {portion["tube"]: portion["parts"] / total for portion in portions}
        assert net == pytest.approx(shares[target["label"]], abs=1e-5)
        assert len(net) <= told.most_tubes


def _shares(order: list[Json]) -> dict[str, dict[str, float]]:
    """Return the tubes of every puddle by what is laid out for it, one puddle after the other."""
    shares: dict[str, dict[str, float]] = {}
    for puddle in order:
        whole: dict[str, float] = defaultdict(float)
        for tube, share in shares.get(puddle["drawn_from"], {}).items():
            whole[tube] += puddle["of_it"] * share
        for line in puddle["laid_out"]:
            white = line["let_down_white_parts"]
            whole[line["tube"]] += line["parts"] / (1 + white)
            whole["titanium white"] += line["parts"] * white / (1 + white)
        total = sum(whole.values())
        shares[puddle["label"]] = {t: part / total for t, part in whole.items() if part > 0.0}
    return shares


def test_other_ways_remain_and_one_that_is_chosen_is_the_plans(told: Told) -> None:
    doors = told.doors
    holes = doors.page(told.base)["holes"]
    number = next(n for n, hole in enumerate(holes, 1) if hole["recipes"][0]["from_puddle"])
    wanted = holes[number - 1]["recipes"][1]
    assert wanted["from_puddle"] is None
    state = doors.change(told.base, do="choose", hole=number, why=wanted["why"])
    hole = state["holes"][number - 1]
    assert (hole["chosen"], hole["held"]) == (0, True)
    assert as_told(hole["recipes"][0]) == as_told(wanted)
    view = doors.page(told.base, f"/plan?tubes={len(told.plan['palette']['tubes'])}")
    (line,) = (each for each in view["plan"]["puddles"]["order"] if each["target"] == hole["label"])
    assert line["drawn_from"] is None
    assert laid(line) == laid(wanted)
    free = doors.change(told.base, do="choose", hole=number, why="first choice")
    assert by_page(free) == by_command(told.made)
    assert not free["holes"][number - 1]["held"]
