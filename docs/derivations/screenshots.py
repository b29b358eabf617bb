"""Make the pictures of the studio's page: ``python docs/derivations/screenshots.py``.

The page is opened in a real browser on the garden table, with the light read off its card and eight
named holes, with a box made of four tubes, with its dabs looked at twice and the sample canvas
once, and with a class of three; each view is taken as a desktop and a tablet show it. Date and time
are set, so that the same page gives the same pictures. Needs the extra ``test`` and a Chromium.
"""

from __future__ import annotations

import json
import os
import re
import sys
import tempfile
from collections import Counter
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
from PIL import Image
from playwright.sync_api import Browser, Page, sync_playwright

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from refmatch.painting.check import dab_card_of  # noqa: E402
from refmatch.painting.own_box import box_of  # noqa: E402
from refmatch.painting.record import own_parts, pile_now, rounds_of  # noqa: E402
from refmatch.painting.store import read_painting  # noqa: E402
from tests.browser import own_tubes  # noqa: E402
from tests.browser.conftest import ARGUMENTS, chromium_path  # noqa: E402
from tests.browser.own_dabs import folder_of  # noqa: E402
from tests.browser.painter import CARD, PLACES, SAMPLES, Painter  # noqa: E402
from tests.browser.serving import Server  # noqa: E402
from tests.browser.views import VIEWS, settle, show  # noqa: E402
from tests.browser.watching import Windows  # noqa: E402
from tests.dabs.studio import Shot  # noqa: E402
from tests.virtual_studio.painted_card import dabs_photo  # noqa: E402

PICTURES = ROOT / "docs" / "pictures"
SCREENS = {
    "desktop": {"viewport": {"width": 1280, "height": 900}},
    "tablet": {"viewport": {"width": 820, "height": 1180}, "has_touch": True},
}
KEEP_LIGHT_PERCENT = 20
GARDEN = {
    "pear": "lying pear",
    "pear, green side": "pear, green side",
    "jug": "jug in the light",
    "jug, shadow side": "jug turning away",
    "plum": "plum",
    "leaf": "leaf",
    "cloth": "linen in the light",
    "wood": "wood in the light",
}
"""Names of holes, and the places beside the sample photo that they are punched at."""

JUG, TOO_MUCH = "jug", 1.5
"""Whose puddle is corrected, and how much too much of its strongest colour was laid out."""

CANVAS = SAMPLES / "garden-canvas.jpg"
CLASS = "Tuesday"
TABLE = (
    "Anna, PW6, PY3, PR101, PB29=my blue\nBen, garden-table\nCleo, student, PW6, PY43, PR108, PBk9"
)

SEED = 5
SHOTS = tuple(
    Shot(width_px=1500, height_px=2000, tilt_deg=tilt, turn_deg=turn)
    for tilt, turn in ((12.0, 2.0), (8.0, -2.0))
)
CHOSEN = "^(Hole|Slip) 3, "
WHEN = datetime(2026, 9, 12, 14, 2, tzinfo=UTC)
STILL_MS = 700
FLAT = 96
"""Colours that are kept as they are: the most frequent."""

STEP = 5
"""Of 255; so a photo's colours are at most two from their own."""


def paint(painter: Painter) -> None:
    """Lay out the garden table, and an orchard that was begun."""
    painter.begin("orchard-shade")
    painter.change("punch_masses", count=5)
    painter.begin()
    spot = {key: CARD[key] for key in ("x_px", "y_px", "diameter_px", "lstar")}
    light = {"method": "neutral", "keep_light_percent": KEEP_LIGHT_PERCENT, "set_exposure": True}
    painter.change("light", **light, **spot)
    for name, label in GARDEN.items():
        place = {key: PLACES[label][key] for key in ("x_px", "y_px", "diameter_px")}
        painter.change("name", hole=painter.change("punch", **place)["made"], label=name)
    own_tubes.make(painter)


def check(painter: Painter, paintings: Path) -> bytes:
    """Look at all dabs, correct the jug's puddle, and return the photo of the second look."""
    base, folder = f"paintings/{painter.painting}", folder_of(paintings, painter.painting)
    painter.ask("POST", f"{base}/dab-card", {"paper": "a4", "grey_lstar": 49.5})
    painting, card = read_painting(folder), dab_card_of(folder)
    box = box_of(painting)
    piles = {
        each.label: Counter(dict(pile_now(painting, each.label).parts)) for each in painting.targets
    }
    jug = piles[JUG]
    jug[max((name for name in jug if not box.tube(name).is_white), key=jug.__getitem__)] *= TOO_MUCH
    photo = b""
    for number, shot in enumerate(SHOTS):
        photo = dabs_photo(
            box, card, {key: [*pile.items()] for key, pile in piles.items()}, SEED, shot=shot
        )
        laid = painter.send(f"{base}/checks/photos?name=dabs-{number + 1}.jpg", photo)
        asked = {"photo": laid["photo"]["key"], "way": "card", "state": "wet", "light": ""}
        table = painter.ask("POST", f"{base}/checks", asked)
        if number == 0:
            hole = next(each["hole"] for each in table["puddles"] if each["label"] == JUG)
            said = {"hole": hole, "pile": 1, "number": 1, "correction": 1}
            painter.ask("POST", f"{base}/checks/done", said)
            done = rounds_of(read_painting(folder), JUG)[-1].done
            for added in done.additions if done else ():
                jug.update(dict(own_parts(added)))
    return photo


def look_at_canvas(painter: Painter, key: str) -> None:
    """Hold the sample photo of the canvas against the painting."""
    base = f"paintings/{key}/canvas"
    laid = painter.send(f"{base}/photos?name={CANVAS.name}", CANVAS.read_bytes())
    place = json.loads(CANVAS.with_suffix(".json").read_text("utf-8"))["neutral"]["place"]
    x_px, y_px, diameter_px = map(float, place.split(","))
    grey = {"x_px": x_px, "y_px": y_px, "diameter_px": diameter_px}
    asked = {"photo": laid["photo"]["key"], "corners": [], "places": {"grey": grey}}
    painter.ask("POST", base, {**asked, "grey_lstar": 49.5})


def teach(painter: Painter) -> None:
    """Begin a class with the painting."""
    made = painter.ask("POST", "classes", {"painting": painter.painting, "name": CLASS})
    students = {"table": TABLE, "replace": False}
    painter.ask("POST", f"classes/{made['id']}/students", students)


def set_date(paintings: Path) -> None:
    """Give the paintings dates of their own, a day apart, and say that they were saved then."""
    for days, path in enumerate(sorted(paintings.glob("*/painting.json"))):
        when = WHEN - timedelta(days=days)
        content = json.loads(path.read_text("utf-8"))
        for each in (content, *content["looks"], *content.get("canvases", ())):
            each["date"] = when.date().isoformat()
        path.write_text(json.dumps(content, ensure_ascii=False, indent=1), "utf-8")
        os.utime(path, (when.timestamp(), when.timestamp()))


def take(page: Page, key: str, view: str, path: Path) -> None:
    """Take one view, once all of it is there and still."""
    show(page, key, view)
    if view == "check":
        open_puddle(page)
    if view == "class":
        page.get_by_role("button", name=CLASS).click()
        page.get_by_role("button", name="See what everybody mixes").click()
        page.locator(".aim").first.wait_for(timeout=60_000)
        page.evaluate("scrollTo(0, 0)")
    if view in ("look", "mix"):
        page.get_by_role("button", name=re.compile(CHOSEN)).first.click()
        page.evaluate("scrollTo(0, 0)")
    if view == "tubes":
        page.locator("#step-dabs").evaluate(
            "(heading) => scrollTo(0, heading.getBoundingClientRect().top + scrollY - 90)"
        )
    page.mouse.move(0, 0)
    page.wait_for_load_state("networkidle") if view == "start" else page.wait_for_timeout(1500)
    settle(page)
    path.write_bytes(still(page))


def open_puddle(page: Page) -> None:
    """Open a puddle that is off, and where all stands in one column the one of two rounds."""
    narrow = page.evaluate("innerWidth < 1024")
    row = page.get_by_role("button", name=re.compile(f"^3 {JUG} " if narrow else "^2 "))
    if row.get_attribute("aria-expanded") == "false":
        row.click()
    page.evaluate("scrollTo(0, 0)")
    if narrow:
        row.evaluate("(row) => row.closest('article').scrollIntoView()")


def still(page: Page) -> bytes:
    """Return the picture once it does not change any more."""
    seen = b""
    while (now := page.screenshot(animations="disabled", caret="hide")) != seen:
        seen = now
        page.wait_for_timeout(STILL_MS)
    return seen


def shrink(path: Path) -> None:
    """Round what is not flat to fewer levels, which nobody sees; greys and paint stay exact."""
    with Image.open(path) as opened:
        pixels = np.array(opened.convert("RGB"))
    packed = pixels @ np.array((65536, 256, 1))
    found, counts = np.unique(packed, return_counts=True)
    busy = ~np.isin(packed, found[np.argsort(counts)[-FLAT:]])
    pixels[busy] = np.round(pixels[busy] / STEP) * STEP
    Image.fromarray(pixels).save(path, optimize=True)


def pictures(browser: Browser, server: Server, key: str, photo: bytes) -> None:
    windows = Windows(browser, server)
    painter = Painter(windows.open(f"/{key}/check"))
    laid = painter.send(f"paintings/{key}/checks/photos?name=dabs-2.jpg", photo)
    asked = {"photo": laid["photo"]["key"], "way": "card", "state": "wet", "light": ""}
    painter.ask("POST", f"paintings/{key}/checks", asked)
    look_at_canvas(painter, key)
    set_date(server.paintings)
    windows.close()
    for name, screen in SCREENS.items():
        windows = Windows(browser, server)
        page = windows.open(device=screen, timezone_id="UTC")
        for view in VIEWS:
            path = PICTURES / f"studio-{view}-{name}.png"
            take(page, key, view, path)
            shrink(path)
        windows.close()


def main() -> None:
    """Write the pictures."""
    PICTURES.mkdir(exist_ok=True)
    os.environ["TZ"] = "UTC"
    with (
        tempfile.TemporaryDirectory() as folder,
        sync_playwright() as playwright,
        playwright.chromium.launch(executable_path=chromium_path(), args=ARGUMENTS) as browser,
    ):
        server = Server(Path(folder) / "paintings")
        server.start()
        windows = Windows(browser, server)
        painter = Painter(windows.open())
        paint(painter)
        key, photo = painter.painting, check(painter, server.paintings)
        teach(painter)
        windows.close()
        server.stop()
        set_date(server.paintings)
        server.start()
        pictures(browser, server, key, photo)
        server.stop()


if __name__ == "__main__":
    main()
