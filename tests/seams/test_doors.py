"""One painting, asked for through each door: the same colours, recipes, plan and words."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from tests.seams.doors import Doors, by_command, by_page, laid, texts, tubes_in, without_day

SKY, DOOR, SLATE = "60,30,12=sky", "95,95,10=door", "160,67,9=slate"


def punch(x_px: float, y_px: float, diameter_px: float, label: str) -> tuple[dict[str, Any], ...]:
    return (
        {"do": "punch", "x_px": x_px, "y_px": y_px, "diameter_px": diameter_px},
        {"do": "name", "hole": -1, "label": label},
    )


HOLES = (*punch(60, 30, 12, "sky"), *punch(95, 95, 10, "door"), *punch(160, 67, 9, "slate"))
HOLE_WORDS = ("--hole", SKY, "--hole", DOOR, "--hole", SLATE)


@dataclass(frozen=True)
class Case:
    """One painting as it is asked for at the prompt, and step by step on the page."""

    words: tuple[object, ...]
    changes: tuple[dict[str, Any], ...]
    plan: tuple[object, ...] = ()
    view: str = ""
    also: dict[str, Any] = field(default_factory=dict)


CASES = {
    "as usual": Case(HOLE_WORDS, HOLES),
    "tubes held out and limits": Case(
        (
            *HOLE_WORDS,
            *("--without", "phthalo green", "--easy-on-black", "--tubes", 3, "--total", 12),
        ),
        (
            *HOLES,
            {"do": "away", "tubes": ["phthalo green"]},
            {"do": "options", "tubes": 3, "total": 12, "easy_on_black": True},
        ),
    ),
    "other habits": Case(
        (*HOLE_WORDS, "--no-white-in-darks", "--no-stray-green"),
        (*HOLES, {"do": "options", "no_white_in_darks": True, "no_stray_green": True}),
        plan=("--palette", 4, "--no-key"),
        view="?tubes=4&key=off",
    ),
    "a spot's light, part of it kept": Case(
        (*HOLE_WORDS, "--neutral", "20,30,12", "--keep-light", 30),
        (
            {
                "do": "light",
                "method": "neutral",
                "x_px": 20,
                "y_px": 30,
                "diameter_px": 12,
                "keep_light_percent": 30,
            },
            *HOLES,
        ),
    ),
    "a crop, the light judged by the whole": Case(
        (
            *("--crop", "40,0,160,150", "--balance", "grey-world"),
            *("--hole", "20,30,12=sky", "--hole", "55,95,10=door", "--hole", "120,67,9=slate"),
        ),
        (*HOLES, {"do": "crop", "left_px": 40, "top_px": 0, "width_px": 160, "height_px": 150},
         {"do": "light", "method": "grey-world"}),
    ),
    "one hole in each mass": Case(
        ("--families", 4),
        ({"do": "punch_masses", "count": 4},),
        plan=("--canvas", "30x20"),
        also={"do": "canvas", "width_cm": 30, "height_cm": 20},
    ),
}  # fmt: skip


def _begun(doors: Doors, case: Case) -> str:
    changes = []
    for change in case.changes:
        if change.get("hole") == -1:
            change = {**change, "hole": sum(each["do"] == "punch" for each in changes)}
        changes.append(change)
    return doors.begun(*changes)


@dataclass(frozen=True)
class Asked:
    """A case's painting, made once through each door: at the prompt, and at an address."""

    case: Case
    doors: Doors
    folder: Path
    made: dict[str, Any]
    base: str


@pytest.fixture(scope="module", params=CASES.values(), ids=CASES)
def asked(
    house: Path, tmp_path_factory: pytest.TempPathFactory, request: pytest.FixtureRequest
) -> Asked:
    """One case; no test changes what was made of it."""
    case, doors = request.param, Doors.on(house, tmp_path_factory.mktemp("doors"))
    folder = doors.folder / "made"
    made = doors.told("sheet", doors.photo, *case.words, "--painting", folder)
    return Asked(case, doors, folder, made, _begun(doors, case))


def test_every_door_tells_the_same_painting(asked: Asked) -> None:
    doors, made, base = asked.doors, asked.made, asked.base
    state, opened = doors.page(base), doors.page(doors.opened(asked.folder))
    assert by_page(state) == by_command(made)
    assert by_page(opened) == by_command(made)
    for key in ("options", "values", "masses", "flags"):
        assert opened[key] == state[key], key
    assert texts(state["flags"]) == texts(made["flags"])[: len(state["flags"])]
    assert opened["light"]["words"] == state["light"]["words"]
    printed = doors.told("sheet", doors.kept_at(base))
    assert by_command(printed) == by_command(made)
    assert printed["finish"] == made["finish"]
    told, again = (each["written"]["content"] for each in (printed, made))
    assert without_day(told) == without_day(again)


def test_every_door_tells_the_same_plan(asked: Asked) -> None:
    case, doors, base = asked.case, asked.doors, asked.base
    by_prompt = doors.told("plan", asked.folder, *case.plan)
    if case.also:
        base = _begun(doors, case)
        doors.change(base, **case.also)
    of_page = doors.told("plan", doors.kept_at(base), *case.plan)
    assert of_page == by_prompt
    by_view = doors.page(base, f"/plan{case.view}")
    assert by_view["plan"]["palette"]["tubes"] == by_prompt["palette"]["tubes"]
    work = [(line["label"], line["words"]) for line in by_view["plan"]["puddles"]["order"]]
    order = by_prompt["puddles"]["order"]
    assert work == [(puddle["label"], puddle["words"]) for puddle in order]


@pytest.mark.parametrize("key", [True, False], ids=["keyed", "as-shot"])
def test_a_sheet_with_a_plan_has_one_palette_and_one_recipe_for_each_colour(
    doors: Doors, key: bool
) -> None:
    off = () if key else ("--no-key",)
    folder = doors.folder / "made"
    made = doors.told(
        "sheet", doors.photo, *HOLE_WORDS, "--plan", "--palette", 4, *off, "--painting", folder
    )
    plan = doors.told("plan", doors.photo, *HOLE_WORDS, "--palette", 4, *off)
    content = made["written"]["content"]
    tubes = set(plan["palette"]["tubes"])
    assert set(content["plan"]["palette"]["tubes"]) == tubes
    assert {tube["tube"] for tube in content["palette"]} == tubes
    for target, planned in zip(made["targets"], plan["targets"], strict=True):
        assert target["lab"] == planned["lab"]
        assert laid(target["recipes"][0]) == laid(planned["recipe"])
        for recipe in target["recipes"]:
            assert tubes_in(recipe) <= tubes
    for slip, planned in zip(content["slips"], plan["targets"], strict=True):
        assert [part["figure"] for part in slip["parts"]] == [
            str(line["parts"]) for line in planned["recipe"]["laid_out"]
        ]
    opened = doors.page(doors.opened(folder))
    assert by_page(opened) == by_command(made)
    again = doors.told("sheet", folder)
    assert again["written"]["content"] == content


def test_the_page_mixes_by_a_plan_and_each_colour_alone_again(doors: Doors) -> None:
    base = doors.begun(*_numbered(HOLES))
    alone = by_page(doors.page(base))
    planned = doors.change(base, do="plan", keyed=True, tubes=4)
    made = doors.told("sheet", doors.photo, *HOLE_WORDS, "--plan", "--palette", 4)
    assert by_page(planned) == by_command(made)
    assert planned["plan"] == {"keyed": True, "tubes": 4}
    read = doors.page(base, "/reading?x=20&y=130&diameter=12&recipe=1")
    tubes = set(made["written"]["content"]["plan"]["palette"]["tubes"])
    assert tubes_in(read["recipe"]) <= tubes
    view = doors.page(base, "/plan?tubes=4")
    written = made["written"]["content"]["plan"]
    assert view["plan"]["palette"]["tubes"] == written["palette"]["tubes"]
    assert by_page(doors.change(base, do="plan")) == alone


def _numbered(changes: tuple[dict[str, Any], ...]) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = []
    for change in changes:
        punched = sum(each["do"] == "punch" for each in found)
        found.append({**change, "hole": punched} if "hole" in change else change)
    return found
