"""The whole job of the painter's own tubes: from the card to a box that the painting uses."""

from __future__ import annotations

import base64
import re
from pathlib import Path

from playwright.sync_api import Page, expect
from pypdf import PdfReader

from refmatch.dabs.box_card import digest_of, read_card_file
from refmatch.paint.box_file import read_box
from tests.browser import own_tubes
from tests.browser.keyboard import Keyboard
from tests.browser.own_tubes import BLUE_TINT, BOX, EMPTY, WRONG
from tests.browser.painter import PLACES, Painter, tube_of
from tests.browser.serving import Server
from tests.browser.test_dropping import DROP
from tests.browser.views import go_on_with_the_card, settle, show
from tests.browser.watching import PHONE, Windows


def dab(page: Page, number: int):
    """Return the button of a dab, by its number from 0."""
    return page.get_by_role("button", name=re.compile(f"^Dab {number + 1},"))


def begin(painter: Painter) -> None:
    """Begin a painting with one mix, the box on the shelf, and go to Tubes by Mix's link."""
    painter.begin()
    place = PLACES["lying pear"]
    painter.change("punch", **{key: place[key] for key in ("x_px", "y_px", "diameter_px")})
    own_tubes.new_box(painter)
    painter.walk("Mix")
    painter.page.get_by_role("link", name="Make a box of your own tubes").click()
    painter.arrived("tubes")
    step = painter.page.get_by_role("region", name="Your tubes")
    step.get_by_label("Box").select_option(label=f"{BOX}, 4 tubes")
    expect(step).to_contain_text("orchard ochre")


def lay_the_card(painter: Painter, server: Server, path: Path) -> None:
    page = painter.page
    page.get_by_role("button", name="Lay out the card").click()
    with page.expect_download() as coming:
        page.get_by_role("link", name="Print the card (PDF)").click()
    coming.value.save_as(path)
    text = PdfReader(path).pages[1].extract_text()
    assert "orchard ochre" in text
    (folder,) = server.paintings.glob("boxes/*/card.json")
    card = read_card_file(folder)
    assert card.box_digest == digest_of(read_box(folder.parent / "start.toml"))


def test_from_the_card_to_a_box_in_use(windows: Windows, fresh: Server, tmp_path: Path) -> None:
    painter = Painter(windows.open())
    page = painter.page
    begin(painter)
    lay_the_card(painter, fresh, tmp_path / "card.pdf")

    photo = base64.b64encode(own_tubes.card_photo()).decode()
    page.evaluate(DROP, ["card.jpg", "image/jpeg", photo])
    expect(page.locator("#step-dabs ~ p").first).to_contain_text("11 read, 1 empty")
    expect(page.locator(".bench-picture polygon.over")).to_have_count(12)
    expect(dab(page, EMPTY)).to_have_accessible_name(re.compile("burnt sienna.*: empty"))

    name = page.get_by_label("Name of the box")
    name.fill("My orchard")
    page.get_by_role("button", name="Make the box").click()
    expect(page.get_by_role("button", name="Make it again")).to_be_visible()
    row = page.locator("tr", has=dab(page, WRONG))
    missed = float(row.locator(".bench-figure").inner_text().split()[0])

    mend_the_wrong_one(painter)
    expect(page.get_by_text("Something was changed since it was made.")).to_be_visible()
    page.get_by_role("button", name="Make it again").click()
    expect(page.get_by_text("Something was changed since it was made.")).to_have_count(0)
    assert float(row.locator(".bench-figure").inner_text().split()[0]) < missed
    known = page.get_by_role("table", name="The tubes of the box My orchard")
    expect(known).to_contain_text("assumed")

    expect(page.get_by_text("This painting is mixed from it.")).to_be_visible()
    assert painter.state["box"]["name"] == "My orchard", "what is made is used at once"
    page.get_by_role("link", name="On to Mix").click()
    painter.arrived("mix")
    count = len(painter.state["box"]["tubes"])
    assert count == 4
    expect(page.locator(".mixed-from")).to_contain_text("your four tubes, My orchard")
    expect(page.locator(".box-choice option:checked")).to_contain_text("My orchard")
    assert painter.state["box"]["name"] == "My orchard"
    lines = painter.state["holes"][0]["recipes"][0]["lines"]
    used = {tube_of(line["words"]) for line in lines}
    assert used <= {name for _, name in own_tubes.TUBES}

    fresh.kill()
    windows.forgive("ERR_CONNECTION_REFUSED|ERR_EMPTY_RESPONSE|ERR_INCOMPLETE_CHUNKED|of 403")
    fresh.start()
    windows.come_in(page, f"/{painter.painting}/tubes")
    page.reload()
    expect(page.get_by_text("other paint than printed")).to_be_visible()
    expect(known).to_be_visible()


def mend_the_wrong_one(painter: Painter) -> None:
    """Click the window in the photo, and say what was painted there."""
    page = painter.page
    settle(page)
    picture = page.locator(".bench-picture")
    picture.scroll_into_view_if_needed()
    box, bench = picture.bounding_box(), painter.ask("GET", "benches")["benches"][0]
    told = painter.ask("GET", f"benches/{bench['id']}")
    (photo,), outline = told["photos"], told["dabs"][WRONG]["outline"]
    assert box
    across, down = (sum(corner[i] for corner in outline) / 4 for i in (0, 1))
    page.mouse.click(
        box["x"] + box["width"] * across / photo["width_px"],
        box["y"] + box["height"] * down / photo["height_px"],
    )
    expect(dab(page, WRONG)).to_have_attribute("aria-expanded", "true")
    mending = page.get_by_role("group", name=f"Dab {WRONG + 1}")
    mending.get_by_label("It is").select_option("ultramarine")
    blue = told["dabs"][BLUE_TINT]["printed"]
    mending.get_by_label("parts").fill(str(blue["parts"]))
    mending.get_by_label("of white").fill(str(blue["white_parts"]))
    mending.get_by_role("button", name="Say so").click()
    expect(page.get_by_text("other paint than printed")).to_be_visible()


def test_a_dab_is_left_out_pointed_to_and_put_back_by_keyboard(
    windows: Windows, laid_out: str
) -> None:
    painter = Keyboard(windows.open(f"/{laid_out}/tubes"))
    page = painter.page
    go_on_with_the_card(page)
    painter.tab_to(dab(page, 3))
    painter.press("Enter")
    painter.tab_to(page.get_by_role("button", name="Leave it out"))
    painter.press("Enter")
    expect(dab(page, 3)).to_have_accessible_name(re.compile("left out"))
    painter.tab_to(page.get_by_role("button", name="Point to the paint"))
    painter.press("Enter")
    ring = page.get_by_role("button", name="Where the paint of dab 4 is")
    expect(ring).to_be_focused()
    before = ring.bounding_box()
    painter.press("ArrowRight", 3)
    expect(page.get_by_text("read elsewhere")).to_be_visible()
    after = ring.bounding_box()
    assert before
    assert after
    assert after["x"] > before["x"]
    painter.tab_to(page.get_by_role("button", name="Put all back"))
    painter.press("Enter")
    expect(dab(page, 3)).to_have_accessible_name(re.compile(": read"))
    expect(page.get_by_text("read elsewhere")).to_have_count(0)


def test_by_fingers_on_a_phone(windows: Windows, laid_out: str) -> None:
    page = windows.open(f"/{laid_out}/tubes", PHONE)
    go_on_with_the_card(page)
    dab(page, 6).tap()
    page.get_by_role("button", name="Point to the paint").tap()
    page.locator(".bench-picture img").tap(position={"x": 60, "y": 60})
    expect(page.get_by_text("read elsewhere")).to_be_visible()
    page.get_by_role("button", name="Put all back").tap()
    expect(page.get_by_text("read elsewhere")).to_have_count(0)
    wide = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
    assert wide[0] <= wide[1]


def test_a_photo_without_the_card_is_refused_in_the_readers_words(
    windows: Windows, laid_out: str
) -> None:
    page = windows.open(f"/{laid_out}/tubes")
    go_on_with_the_card(page)
    windows.forgive("status of 400")
    expect(page.locator(".bench-picture")).to_be_visible()
    sample = Path(__file__).parents[2] / "sample_images" / "garden-table.jpg"
    data = base64.b64encode(sample.read_bytes()).decode()
    page.evaluate(DROP, ["table.jpg", "image/jpeg", data])
    refusal = page.get_by_role("region", name="The photo").get_by_role("alert")
    expect(refusal).to_contain_text("table.jpg")
    expect(page.locator(".bench-picture")).to_be_visible()


def test_the_box_of_the_painting_is_the_one_to_begin_with(windows: Windows) -> None:
    painter = Painter(windows.open())
    painter.begin()
    boxes = painter.ask("GET", "start")["boxes"]
    other = own_tubes.new_box(painter)
    assert other != boxes[0]["id"]
    painter.change("box", box=other)
    painter.walk("Tubes")
    step = painter.page.get_by_role("region", name="Your tubes")
    expect(step.get_by_label("Box")).to_have_value(other)


def test_who_is_late_at_the_bench_is_told_and_shown_what_is_there(
    windows: Windows, laid_out: str
) -> None:
    windows.forgive("status of 409")
    page = windows.open()
    late = page.context.new_page()
    late.goto(page.url)
    for window in (page, late):
        show(window, laid_out, "tubes")
    expect(dab(late, 3)).to_have_accessible_name(re.compile(": read"))
    dab(page, 3).click()
    page.get_by_role("button", name="Leave it out").click()
    expect(dab(page, 3)).to_have_accessible_name(re.compile("left out"))
    dab(late, 4).click()
    late.get_by_role("button", name="Leave it out").click()
    refusal = late.get_by_role("alert").filter(has_text="changed in another window")
    expect(refusal).to_contain_text("your change was not made")
    expect(dab(late, 3)).to_have_accessible_name(re.compile("left out"))
    expect(dab(late, 4)).to_have_accessible_name(re.compile(": read"))
    late.get_by_role("button", name="Leave it out").click()
    expect(dab(late, 4)).to_have_accessible_name(re.compile("left out"))
    expect(refusal).to_have_count(0)
