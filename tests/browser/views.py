"""The views of the page, and what may stand open over one of them."""

from __future__ import annotations

from playwright.sync_api import Page

from tests.browser.painter import Painter

VIEWS = ("start", "light", "look", "mix", "print")
SURROUNDS = ("light", "middle", "dark")
SETTLED = """async () => {
    const frame = () => new Promise(requestAnimationFrame);
    const inSight = (image) => image.getBoundingClientRect().top < innerHeight;
    const pending = (image) => !image.complete && (image.loading !== "lazy" || inSight(image));
    while ([...document.images].some(pending)) await frame();
    await frame();
    await frame();
}"""


def show(page: Page, key: str, view: str) -> None:
    """Open a view of a painting, and wait until all of it is there."""
    base = page.url.partition("#")[0]
    page.goto(f"{base}#/" if view == "start" else f"{base}#/{key}/{view}")
    Painter(page).arrived(view)
    if view == "start":
        page.get_by_role("heading", name="Samples to try").wait_for()
    settle(page)


def settle(page: Page) -> None:
    """Wait until every picture that is asked for has come, and has been drawn."""
    page.evaluate(SETTLED)


def take_surround(page: Page, kind: str) -> None:
    """Take the light, middle or dark surround."""
    page.get_by_role("button", name=f"{kind} surround").click()
