"""Dabs checked on the page: a photo, what is off, what was added, the next photo, the history."""

from __future__ import annotations

import base64
import re
from collections import Counter
from pathlib import Path

from playwright.sync_api import Locator, Page, expect
from pypdf import PdfReader

from refmatch.painting.check import dab_card_of
from refmatch.painting.own_box import box_of
from refmatch.painting.record import own_parts, pile_now, rounds_of
from refmatch.painting.store import read_painting
from tests.browser.own_dabs import dabs_on_table, folder_of
from tests.browser.painter import CARD, PLACES, Painter
from tests.browser.serving import Server
from tests.browser.test_dropping import DROP
from tests.browser.views import settle
from tests.browser.watching import Windows
from tests.dabs.studio import Shot
from tests.virtual_studio.painted_card import dabs_photo

JUG = "jug in the light"
SEED = 5
SHORT_OF_WHITE = 0.5
THIRD = 1.0 / 3.0
"""What is gone on with of a puddle that is divided."""
SHOTS = (
    Shot(width_px=1100, height_px=1467, tilt_deg=12.0),
    Shot(width_px=1100, height_px=1467, tilt_deg=8.0),
)


def begin(painter: Painter) -> None:
    """Begin a painting of one named hole, its light read off the card, and walk to Check."""
    painter.begin()
    spot = {key: CARD[key] for key in ("x_px", "y_px", "diameter_px", "lstar")}
    painter.change("light", method="neutral", keep_light_percent=0, set_exposure=True, **spot)
    place = {key: PLACES[JUG][key] for key in ("x_px", "y_px", "diameter_px")}
    painter.change("name", hole=painter.change("punch", **place)["made"], label=JUG)
    painter.walk("Check")


def drop(page: Page, name: str, data: bytes, kind: str = "image/jpeg") -> None:
    page.evaluate(DROP, [name, kind, base64.b64encode(data).decode()])


def puddle(page: Page) -> Locator:
    return page.get_by_role("article", name=f"Puddle 1, {JUG}")


def distances(page: Page) -> list[float]:
    """Return how far off the puddle was in each round, as the history tells it."""
    rows = puddle(page).locator(".check-figured > li").all_text_contents()
    return [float(re.search(r"ΔE00 ([\d.]+)", row)[1]) for row in rows]


def test_a_puddle_is_checked_corrected_and_checked_again(
    windows: Windows, server: Server, tmp_path: Path
) -> None:
    painter = Painter(windows.open())
    page = painter.page
    begin(painter)
    page.get_by_role("button", name="Lay out the dab card").click()
    with page.expect_download() as coming:
        page.get_by_role("link", name="Print the dab card (PDF)").click()
    coming.value.save_as(tmp_path / "card.pdf")
    assert JUG in PdfReader(tmp_path / "card.pdf").pages[1].extract_text()

    folder = folder_of(server.paintings, painter.painting)
    painting, card = read_painting(folder), dab_card_of(folder)
    box, parts = box_of(painting), Counter(dict(pile_now(painting, JUG).parts))
    white = next(name for name in parts if box.tube(name).is_white)
    parts[white] *= SHORT_OF_WHITE
    drop(page, "first.jpg", dabs_photo(box, card, {JUG: [*parts.items()]}, SEED, shot=SHOTS[0]))
    expect(puddle(page).locator(".check-sentence")).to_have_text(re.compile("^Off: .*too dark"))
    expect(puddle(page).locator(".check-verdict")).to_contain_text("off")
    expect(page.get_by_role("region", name="On the table")).to_contain_text("first.jpg")
    expect(page.get_by_role("button", name=f"The dab of puddle 1, {JUG}")).to_be_visible()

    other = page.context.new_page()
    other.goto(page.url)
    expect(puddle(other).get_by_role("button", name="I did this").first).to_be_visible()
    puddle(page).get_by_role("button", name="I did this").first.click()
    for window in (page, other):
        expect(puddle(window)).to_contain_text("The puddle now holds")
        expect(puddle(window)).to_contain_text("it waits for the next photo")
    other.close()

    (only,) = rounds_of(read_painting(folder), JUG)
    assert only.done
    if only.done.divided:
        parts = Counter({tube: THIRD * share for tube, share in parts.items()})
    for added in only.done.additions:
        parts.update(dict(own_parts(added)))
    drop(page, "second.jpg", dabs_photo(box, card, {JUG: [*parts.items()]}, SEED, shot=SHOTS[1]))
    expect(puddle(page).get_by_role("heading", name="2 rounds")).to_be_visible()
    before, after = distances(page)
    assert after < before
    expect(puddle(page).locator(".check-chart rect")).to_have_count(2)
    first = "divided it and kept a third to go on with, added" if only.done.divided else "added"
    expect(puddle(page)).to_contain_text(f"Then you {first}")
    expect(puddle(page)).not_to_contain_text(re.compile(r"\d\.\d+ parts, and add"))
    page.reload()
    expect(puddle(page).locator(".check-rounds li")).to_have_count(2)
    painter.saved()


def test_a_dab_is_pointed_to_beside_the_grey_card(windows: Windows) -> None:
    painter = Painter(windows.open())
    page = painter.page
    begin(painter)
    assert page.locator("input[type=file][capture=environment][accept^='image/*']").count() == 1
    drop(page, "letter.txt", b"Dear painter", "text/plain")
    refusal = page.get_by_role("region", name="A photo of your dabs").get_by_role("alert")
    expect(refusal).to_contain_text("“letter.txt” is not a photo")

    data, at = dabs_on_table()
    drop(page, "table.jpg", data)
    expect(page.locator(".check-picture img")).to_be_visible()
    expect(refusal).to_have_count(0)
    judge = page.get_by_role("button", name="Judge this dab")
    expect(judge).to_have_attribute("aria-disabled", "true")
    settle(page)
    page.locator(".check-picture").click(position=on_screen(page, at["dab"]))
    windows.forgive("status of 400")
    judge.click()
    refusal = page.get_by_role("region", name="On the table").get_by_role("alert")
    expect(refusal).to_contain_text("point to the grey card, or to a dab of known colour")
    expect(page.get_by_text("Step 2 of 4: click the grey card")).to_be_visible()
    page.locator(".check-picture").click(position=on_screen(page, at["grey"]))
    marks_stay_and_are_dragged(page, at)
    ring = page.get_by_role("button", name="Grey card: where it is")
    left = ring.bounding_box()
    ring.press("ArrowRight")
    moved = ring.bounding_box()
    assert left
    assert moved
    assert moved["x"] > left["x"]
    judge.click()
    expect(puddle(page).get_by_role("heading", name="One round")).to_be_visible()
    expect(puddle(page)).to_contain_text("Looked at by the grey card, wet")

    say_something_else(page, "I added this")
    expect(puddle(page)).to_contain_text("You added ½ part of yellow ochre")
    page.get_by_role("button", name="I did not do this").click()
    say_something_else(page, "I mixed a new puddle of just this")
    expect(puddle(page)).to_contain_text("The puddle now holds ½ yellow ochre.")

    elsewhere = painter.send(
        f"paintings/{painter.painting}/checks/photos?name=new.jpg", data + b" "
    )
    judge.click()
    expect(refusal).to_contain_text("not on the table any more; drop it again")
    shown = page.locator(f".check-picture img[src*='{elsewhere['photo']['key']}']")
    expect(shown).to_be_visible()

    painter.walk("Look")
    page.get_by_text("What moves this puddle").click()
    for way in ("lighter", "darker", "warmer", "cooler", "duller", "stronger", "white alone"):
        expect(page.locator(".nudges-ways").get_by_text(way, exact=True)).to_have_count(1)
    expect(page.locator(".nudges-grey")).to_contain_text("To its grey:")


def marks_stay_and_are_dragged(page: Page, at: dict[str, tuple[float, float]]) -> None:
    """White is marked in its step, black is not there, and no later click moves a mark."""
    page.locator(".check-picture").click(position=on_screen(page, at["white"]))
    page.get_by_role("button", name="It is not there").click()
    expect(page.get_by_text("All is marked.")).to_be_visible()
    rings = page.locator(".check-ring")
    before = [ring.bounding_box() for ring in rings.all()]
    page.locator(".check-picture").click(position=on_screen(page, at["black"]))
    assert [ring.bounding_box() for ring in rings.all()] == before
    expect(rings).to_have_count(3)
    white = page.get_by_role("button", name="White paint: where it is")
    box = white.bounding_box()
    assert box
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 40, y + 5, steps=3)
    page.mouse.up()
    moved = white.bounding_box()
    assert moved
    assert 30 < moved["x"] - box["x"] < 50
    expect(rings).to_have_count(3)
    page.get_by_role("button", name="Take the ring of white paint away").click()


def test_what_was_really_mixed_is_pencilled_in(windows: Windows) -> None:
    windows.forgive("status of 400")
    page = windows.open("/")
    begin(Painter(page))
    mine = puddle(page)
    expect(mine).to_contain_text("By its recipe the puddle holds")
    page.get_by_label("I mixed other parts").fill("4½ white, some black")
    page.get_by_role("button", name="That is in it").click()
    expect(mine).to_contain_text("'some black' is no amount of a tube")
    page.get_by_label("I mixed other parts").fill("4½ white, 1 burnt umber, ¼ black")
    page.get_by_role("button", name="That is in it").click()
    expect(mine).to_contain_text("holds 4½ titanium white + 1 burnt umber + ¼ ivory black")
    page.get_by_role("button", name="by its recipe after all").click()
    expect(mine).to_contain_text("By its recipe the puddle holds")


def say_something_else(page: Page, how: str) -> None:
    page.get_by_text("I did something else").click()
    page.get_by_label("Parts of the first thing added").fill("0.5")
    page.get_by_label("The first thing added", exact=True).select_option("yellow ochre")
    page.get_by_role("button", name=how).click()


def on_screen(page: Page, at: tuple[float, float]) -> dict[str, float]:
    """Return where a place of the photo lies in its picture, in CSS pixels."""
    image = page.locator(".check-picture img")
    box = image.bounding_box()
    wide = image.evaluate("(image) => Number(image.getAttribute('width'))")
    assert box
    return {"x": at[0] * box["width"] / wide, "y": at[1] * box["width"] / wide}
