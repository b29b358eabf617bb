"""The Mix view in a real browser: what a slip shows, and what choosing on it does."""

from __future__ import annotations

import io
import re
import shutil
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import Browser, Locator, Page, Route, expect

from refmatch.web.bench.files import key_of
from tests.browser.own_dabs import folder_of
from tests.browser.painter import PLACES as SAMPLE_PLACES
from tests.browser.painter import Painter, tube_of
from tests.browser.serving import Server
from tests.browser.views import show
from tests.browser.watching import DESKTOP, PHONE, Windows

PLACES = ("linen in the light", "jug in the light", "lying pear")
COLOUR = "e => getComputedStyle(e).backgroundColor"
SMALL = """(least) => [...document.querySelectorAll("main :is(a, button, input, select, summary)")]
  .map((e) => e.closest("label") ?? e).filter((e) => !e.matches(".mark, .ladder-number"))
  .map((e) => [e.textContent.slice(0, 30), e.getBoundingClientRect()])
  .filter(([, box]) => box.width && Math.min(box.width, box.height) < least)
  .map(([words]) => words)"""


@pytest.fixture(scope="module")
def three_holes(chromium: Browser, workshop: Server) -> Path:
    """The folder of a painting with three holes."""
    windows = Windows(chromium, workshop)
    painter = Painter(windows.open())
    key, revision = painter.ask("POST", "paintings?sample=garden-table")["id"], 0
    for label in PLACES:
        where = {name: SAMPLE_PLACES[label][name] for name in ("x_px", "y_px")}
        asked = {"revision": revision, "do": "punch", **where}
        revision = painter.ask("POST", f"paintings/{key}/changes", asked)["revision"]
    windows.close()
    return folder_of(workshop.paintings, key)


@pytest.fixture
def mix(windows: Windows, three_holes: Path) -> Page:
    """The Mix view of a painting with three holes, the first one's slip open."""
    return _mix(windows, three_holes, DESKTOP)


def _mix(windows: Windows, three_holes: Path, device: dict) -> Page:
    """Open a copy of the painting in Mix."""
    painter = Painter(windows.open(device=device))
    copies = len(list(three_holes.parent.glob("slips-*")))
    folder = shutil.copytree(three_holes, three_holes.with_name(f"slips-{copies}"))
    painter.go(key_of(folder), "mix")
    painter.page.locator(".slip.open .lines li").first.wait_for()
    return painter.page


def halves(page: Page) -> tuple[Locator, Locator]:
    found = page.locator(".slip.open .slip-pair .half")
    return found.nth(0), found.nth(1)


def used(page: Page) -> list[str]:
    """Return the tubes of the open slip's recipe, as its lines name them."""
    words = page.locator(".slip.open .lines li > span:last-child").all_inner_texts()
    return [tube_of(word) for word in words]


def way(page: Page, tube: str, word: str) -> Locator:
    row = page.locator(".slip.open .tube-row").filter(has_text=tube)
    return row.locator(".way").filter(has_text=word)


def test_photo_and_mix_touch_and_are_large(mix: Page) -> None:
    """Nothing may stand between two colours that are compared (common practice, no source)."""
    target, made = (half.bounding_box() for half in halves(mix))
    assert -1.1 < made["x"] - (target["x"] + target["width"]) <= 0.0
    assert (target["y"], target["height"]) == (made["y"], made["height"])
    assert min(target["width"], target["height"]) > 120


@pytest.mark.parametrize("density", [1.0, 1.25, 1.5, 2.0])
def test_no_line_shows_between_photo_and_mix(
    windows: Windows, laid_out: str, density: float
) -> None:
    """On any screen each pixel of the pair is one of the two colours or between them. Laptops
    have 1.25 or 1.5 pixels to one of CSS (common practice, no source)."""
    screen = {"viewport": {"width": 1440, "height": 1000}, "device_scale_factor": density}
    page = windows.open(f"/{laid_out}/mix", screen)
    pair = page.locator(".slip.open .slip-pair .halves")
    pair.scroll_into_view_if_needed()
    rim = 4
    seen = np.array(Image.open(io.BytesIO(pair.screenshot())).convert("RGB")).astype(int)
    seen = seen[rim:-rim, rim:-rim]
    ends = np.stack([seen[0, 0], seen[0, -1]])
    assert (seen >= ends.min(axis=0) - 1).all()  # mixing two colours rounds
    assert (seen <= ends.max(axis=0) + 1).all()


def test_walking_the_steps_by_keys_changes_the_mix_half_only(mix: Page) -> None:
    target, made = halves(mix)
    before, finished = target.evaluate(COLOUR), made.evaluate(COLOUR)
    mix.locator(".slip.open .steps-of input").last.focus()
    for _ in range(2):
        mix.keyboard.press("ArrowDown")  # from the finished mix round to the first step, and on
    expect(mix.locator(".slip.open .half-words")).to_contain_text("after step 2")
    assert target.evaluate(COLOUR) == before
    chip = mix.locator(".slip.open .step-row.chosen .chip")
    assert made.evaluate(COLOUR) == chip.evaluate(COLOUR) != finished


def test_a_lamp_changes_the_mix_half_only_and_says_why(mix: Page) -> None:
    target, made = halves(mix)
    before, by_day = target.evaluate(COLOUR), made.evaluate(COLOUR)
    mix.locator(".slip.open").get_by_label("Mixes seen in").select_option("tungsten lamp")
    expect(mix.locator(".slip.open")).to_contain_text("a photo has no spectrum")
    assert target.evaluate(COLOUR) == before
    assert made.evaluate(COLOUR) != by_day


def test_a_tube_held_out_is_gone_and_one_insisted_on_is_there(mix: Page) -> None:
    mix.locator(".slip.open .tubes-of summary").click()
    out = next(tube for tube in used(mix) if "white" not in tube)
    way(mix, out, "hold out").click()
    expect(mix.locator(".slip.open .lines")).not_to_contain_text(out)
    wanted = "cerulean blue"
    way(mix, wanted, "insist").click()
    expect(mix.locator(".slip.open .lines")).to_contain_text(wanted)
    assert out not in used(mix)
    expect(mix.locator(".slip.open .tubes-of summary")).to_contain_text(
        f"with {wanted}; without {out}"
    )
    way(mix, out, "free").click()
    expect(mix.locator(".slip.open .tubes-of summary")).not_to_contain_text("without")


def test_another_way_is_taken_and_comes_back_with_undo(mix: Page) -> None:
    first = used(mix)
    mix.locator(".slip.open .other").last.click()
    expect(mix.locator(".slip.open .other").last).to_have_class(re.compile("chosen"))
    assert used(mix) != first
    mix.keyboard.press("Control+z")
    expect(mix.locator(".slip.open .other").first).to_have_class(re.compile("chosen"))
    assert used(mix) == first


def test_what_cannot_be_is_told_and_the_control_put_back(mix: Page, windows: Windows) -> None:
    windows.forgive("status of 400")
    white = mix.get_by_role("checkbox", name=re.compile("^titanium white"))
    white.click()
    expect(mix.get_by_role("alert").filter(has_text="white")).to_be_visible()
    expect(white).to_be_checked()


def test_a_tube_that_is_away_is_in_no_mix(mix: Page) -> None:
    gone = next(tube for tube in used(mix) if "white" not in tube)
    mix.get_by_role("checkbox", name=re.compile(f"^{gone}")).click()
    expect(mix.locator(".on-table")).to_contain_text("11 of 12 tubes")
    told = mix.locator(".mix-slips .lines, .mix-slips .slip-parts").all_inner_texts()
    assert len(told) == len(PLACES)
    assert gone not in " ".join(told)


def test_a_box_is_started_from_the_names_on_labels(mix: Page) -> None:
    mix.get_by_role("button", name="Start a box").click()
    mix.get_by_label("Name of the box").fill("school")
    mix.get_by_label("These are a student's line").check()
    for words, found in (
        ("French ultramarine", "Ultramarine blue"),
        ("Hooker’s green", "Hooker's green"),
        ("PY 150", "taken to be like Azo green gold"),
    ):
        mix.get_by_label("Find a pigment").fill(words)
        row = mix.locator(".pigments li").filter(has_text=found)
        row.get_by_role("checkbox").check()
    mix.get_by_role("button", name="Start this box").click()
    expect(mix.locator("dialog")).to_have_count(0)
    expect(mix.locator(".on-table")).to_contain_text("4 of 4 tubes")
    expect(mix.locator(".on-table")).to_contain_text("nickel azo yellow")


def test_a_box_is_started_from_pigments_by_keyboard(mix: Page) -> None:
    start = mix.get_by_role("button", name="Start a box")
    expect(start).to_be_enabled()
    start.press("Enter")
    mix.get_by_label("Name of the box").press_sequentially("three and white")
    for word in ("PY74", "PR254", "PB15:3"):
        mix.get_by_label("Find a pigment").fill(word)
        expect(mix.locator(".pigments li")).to_have_count(1)
        mix.locator(".pigments input").press("Space")
    expect(mix.locator("dialog")).to_contain_text("4 ticked")
    mix.get_by_role("button", name="Start this box").press("Enter")
    expect(mix.locator("dialog")).to_have_count(0)
    expect(mix.locator(".on-table")).to_contain_text("4 of 4 tubes")
    expect(mix.get_by_label("Box", exact=False).locator("option:checked")).to_have_text(
        "three and white, 4 tubes"
    )
    paints = {name.partition(" let-down")[0] for name in used(mix)}
    assert paints <= {"titanium white", "hansa yellow", "pyrrole red", "phthalo blue"}


def test_a_box_without_a_name_is_asked_for_one(mix: Page) -> None:
    mix.get_by_role("button", name="Start a box").click()
    mix.get_by_role("button", name="Start this box").click()
    expect(mix.locator("dialog [role=alert]")).to_have_text("Give the box a name.")


def test_a_name_with_markup_stays_text(mix: Page) -> None:
    name = "<img src=x onerror=alert(1)>"
    mix.get_by_label("Name of hole 1").fill(name)
    mix.get_by_label("Name of hole 1").press("Enter")
    expect(mix.locator(".slip.open")).to_have_attribute("aria-label", f"Slip 1, {name}")
    mix.locator(".slip-row").first.click()
    expect(mix.locator(".slip-row").first).to_contain_text(name)
    assert mix.locator(".slip img").count() == 0


def test_on_a_phone_nothing_is_lost_and_fingers_find_their_mark(
    windows: Windows, three_holes: Path
) -> None:
    """44 px: WCAG 2.2, success criterion 2.5.5."""
    page = _mix(windows, three_holes, PHONE)
    page.locator(".slip.open .tubes-of summary").tap()
    assert page.evaluate("document.documentElement.scrollWidth") <= 375
    assert page.evaluate(SMALL, 43.5) == []
    page.locator(".slip-row").first.tap()
    expect(page.locator(".slip.open .number").first).to_have_text("2")


def test_a_slip_says_what_counts_and_folds_the_figures(windows: Windows, laid_out: str) -> None:
    page = windows.open()
    show(page, laid_out, "mix")
    slip = page.locator(".slip.open")
    hole = Painter(page).state["holes"][0]
    expect(slip.locator(".slip-verdict")).to_contain_text("to be expected")
    for recipe in hole["recipes"][1:]:
        expect(slip.locator(".others")).to_contain_text(recipe["better"])
    first = hole["recipes"][0]["delta_e_00_expected"]
    expect(slip.locator(".others dl")).to_contain_text(f"ΔE00 {first:.1f}")
    expect(slip.locator(".others dl")).to_be_hidden()
    figures = slip.locator(".recipe").get_by_text("on paper", exact=True)
    expect(figures).to_be_hidden()
    slip.locator(".recipe summary").click()
    expect(figures).to_be_visible()
    page.reload()
    expect(figures).to_be_visible()
    assert slip.locator(".flags > .flag").count() == 1, "one caution stands there, the rest folds"
    tubes = [line for line in hole["recipes"][0]["lines"] if "white" not in line["words"]]
    expect(slip.locator(".lines .chip .half + .half")).to_have_count(len(tubes))


def test_slips_say_that_mixes_are_found_anew(windows: Windows, laid_out: str) -> None:
    page = windows.open()
    show(page, laid_out, "mix")
    waiting = page.get_by_text("finding mixes anew")
    seen: list[int] = []

    def meanwhile(route: Route) -> None:
        expect(waiting.first).to_be_attached()
        seen.append(waiting.count())
        route.abort()

    page.route("**/changes", meanwhile, times=1)
    windows.forgive("Failed to load resource")
    painter = Painter(page)
    before = painter.state["options"]["total"]
    total = page.locator(".options select").nth(1)
    total.select_option("16" if before != 16 else "20")
    painter.saved()
    expect(waiting).to_have_count(0)
    assert seen == [len(painter.state["holes"])]
    painter.ask("POST", f"paintings/{laid_out}/undo", {"revision": painter.state["revision"]})
