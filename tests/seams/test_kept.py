"""What a painting was asked for stays with it, whatever door it goes through next."""

from __future__ import annotations

import json

import pytest

from refmatch.sheet.formats import FORMATS
from tests.seams.doors import Doors, Json, by_page, laid, tubes_in
from tests.seams.test_doors import HOLE_WORDS, HOLES, _numbered

HELD = ("--without", "phthalo green", "--easy-on-black", "--tubes", 3, "--total", 12)


def of_all(state: Json) -> list[Json]:
    return [recipe for hole in state["holes"] for recipe in hole["recipes"]]


def test_what_the_prompt_was_asked_for_holds_on_the_page(doors: Doors) -> None:
    base = doors.opened(doors.planned(*HOLE_WORDS, *HELD))
    state = doors.page(base)
    asked = {key: state["options"][key] for key in ("tubes", "total", "easy_on_black")}
    assert asked == {"tubes": 3, "total": 12, "easy_on_black": True}
    away = [tube["tube"] for tube in state["box"]["tubes"] if tube["away"]]
    assert away == ["phthalo green"]
    changed = doors.change(base, do="punch", x_px=20, y_px=130)
    assert len(changed["holes"]) == 4
    for recipe in of_all(changed):
        assert "phthalo green" not in tubes_in(recipe)
        assert len(recipe["portions"]) <= 3
        assert sum(line["parts"] for line in recipe["laid_out"]) <= 12


def test_tubes_insisted_on_at_the_prompt_are_in_what_the_page_mixes(doors: Doors) -> None:
    base = doors.opened(doors.planned(*HOLE_WORDS, "--with", "PB29"))
    changed = doors.change(base, do="punch", x_px=20, y_px=130)
    for recipe in of_all(changed):
        assert "ultramarine" in tubes_in(recipe)


def test_a_plan_at_the_prompt_keeps_to_what_the_page_was_told(doors: Doors) -> None:
    base = doors.begun(*_numbered(HOLES))
    free = doors.told("plan", doors.kept_at(base))
    gone = next(tube for tube in free["palette"]["tubes"] if "white" not in tube)
    doors.change(base, do="away", tubes=[gone])
    doors.change(base, do="options", finish="matt", tubes=2)
    told = doors.told("plan", doors.kept_at(base))
    assert gone not in told["palette"]["tubes"]
    assert all(gone not in reach["tubes"] for reach in told["reaches"])
    assert told["finish"] == "matt"
    assert told["saunderson"]["f"] == 1.0
    assert max(len(target["recipe"]["portions"]) for target in told["targets"]) <= 2


def test_a_plan_on_the_page_keeps_to_what_the_page_was_told(doors: Doors) -> None:
    """Without its own black's limit the slate is mixed with black: so the habit can be seen."""
    base = doors.begun(*_numbered(HOLES))
    free = doors.page(base, "/plan")["plan"]
    gone = next(tube for tube in free["palette"]["tubes"] if "white" not in tube)
    doors.change(base, do="away", tubes=[gone])
    held = doors.page(base, "/plan")
    assert gone not in held["plan"]["palette"]["tubes"]
    assert all(gone not in reach["tubes"] for reach in held["plan"]["reaches"])
    assert held["most_tubes"] == len(doors.page(base)["box"]["tubes"]) - 1


def test_a_plan_on_the_page_is_easy_on_black_where_that_is_asked(doors: Doors) -> None:
    """A dark grey is white and black alone, unless that is what the painter will not do."""
    whites = {"titanium white", "ivory black"}
    box = doors.page(doors.begun())["box"]["tubes"]
    away = [tube["tube"] for tube in box if tube["tube"] not in {*whites, "ultramarine"}]
    base = doors.begun(
        {"do": "punch", "x_px": 160, "y_px": 67, "diameter_px": 9},
        {"do": "away", "tubes": away},
    )

    def slate() -> str:
        (line,) = (
            each for each in doors.page(base, "/plan?key=off&tubes=3")["plan"]["puddles"]["order"]
        )
        return line["words"]

    assert "ultramarine" not in slate()
    doors.change(base, do="options", easy_on_black=True)
    assert "ultramarine" in slate()


def test_a_recipe_chosen_on_the_page_is_the_one_at_every_door(doors: Doors) -> None:
    base = doors.begun(*_numbered(HOLES))
    state = doors.page(base)
    number = next(n for n, hole in enumerate(state["holes"], 1) if len(hole["recipes"]) > 1)
    wanted = state["holes"][number - 1]["recipes"][1]
    doors.change(base, do="choose", hole=number, why=wanted["why"])
    told = doors.told("sheet", doors.kept_at(base))
    assert told["targets"][number - 1]["chosen"] == 1
    slip = told["written"]["content"]["slips"][number - 1]
    figures = [str(line["parts"]) for line in wanted["laid_out"]]
    assert [part["figure"] for part in slip["parts"]] == figures
    out = doors.folder / "sheet.txt"
    printed = doors.prompt("sheet", doors.kept_at(base), "--out", out).out
    words = [
        f"{parts} {tube}" + (f" let-down (1 : {white} white)" if white else "")
        for tube, parts, white in laid(wanted)
    ]
    assert f"     {', '.join(words)}  ({wanted['verdict']})" in printed.splitlines()


def test_another_hole_at_the_prompt_leaves_the_paint_matt(doors: Doors) -> None:
    base = doors.begun(*_numbered(HOLES), {"do": "options", "finish": "matt"})
    told = doors.told("sheet", doors.kept_at(base), "--hole", "20,130,12=grass")
    assert told["finish"] == "matt"
    assert told["saunderson"]["f"] == 1.0
    assert [target["label"] for target in told["targets"]] == ["grass"]


def test_what_is_not_said_at_the_prompt_stays_as_it_was(doors: Doors) -> None:
    light = ("--neutral", "20,30,12", "--keep-light", 40)
    folder = doors.planned(*HOLE_WORDS, *HELD, *light, "--title", "House")
    told = doors.told("sheet", folder, "--total", 20, "--painting", folder)
    assert told["title"] == "House"
    assert told["balance"]["keep_light_percent"] == 40.0
    assert [target["label"] for target in told["targets"]] == ["sky", "door", "slate"]
    state = doors.page(doors.opened(folder))
    asked = {key: state["options"][key] for key in ("tubes", "total", "easy_on_black")}
    assert asked == {"tubes": 3, "total": 20, "easy_on_black": True}


def test_a_step_taken_at_the_prompt_is_taken_back_on_the_page(doors: Doors) -> None:
    base = doors.begun(*_numbered(HOLES))
    before = by_page(doors.page(base))
    folder = doors.kept_at(base)
    doors.told("sheet", folder, "--tubes", 2, "--painting", folder)
    state = doors.page(base)
    assert by_page(state) != before
    answer = doors.browser.post(f"{base}/undo", json={"revision": state["revision"]})
    assert by_page(answer.json()) == before


def test_a_sheet_kept_in_a_folder_never_writes_over_a_studio(
    doors: Doors, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While the sheet is set, the painter goes on at the page."""
    base = doors.begun(*_numbered(HOLES))
    folder, out = doors.kept_at(base), doors.folder / "sheet.txt"
    write = FORMATS["txt"]

    def meanwhile(content, paper):
        doors.change(base, do="punch", x_px=20, y_px=130, diameter_px=12)
        return write(content, paper)

    monkeypatch.setitem(FORMATS, "txt", meanwhile)
    ran = doors.prompt("sheet", folder, "--tubes", 2, "--painting", folder, "--out", out)
    assert ran.code == 1
    assert "changed by another program meanwhile" in ran.err
    assert not out.exists()
    saved = json.loads((folder / "painting.json").read_bytes())
    assert len(saved["targets"]) == 4
    assert len(doors.page(base)["holes"]) == 4
