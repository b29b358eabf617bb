"""The views of the page, and what may stand open over one of them."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import Locator, Page

from tests.browser.painter import Painter
from tests.browser.watching import look_often

VIEWS = ("start", "light", "look", "tubes", "mix", "plan", "print", "check", "canvas", "class")
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
    page.goto(base + {"start": "#/", "class": "#/class"}.get(view, f"#/{key}/{view}"))
    Painter(page).arrived(view)
    all_there(page, view)


def all_there(page: Page, view: str) -> None:
    """Wait until all of a view is there; in Tubes the card that was begun is looked at."""
    if view == "start":
        page.get_by_role("heading", name="Samples to try").wait_for()
    if view == "tubes":  # what is fetched comes one after the other
        look_often(page, "shown", ".bench-use, .bench-form button:enabled")
        look_often(page, "shown", ".bench-next, .next [role=alert], .next a")
        page.locator(".bench-use, .bench-form button:enabled").first.wait_for()
        go_on_with_the_card(page)
        page.locator(".bench-next, .next [role=alert], .next a").first.wait_for()
    if view == "plan":
        look_often(page, "shown", ".plan-work")
        page.locator(".plan-work").first.wait_for()  # a list for each layer
    if view == "check":
        look_often(page, "shown", ".check-body, .check-puddles a")
        page.locator(".check-body, .check-puddles a").first.wait_for()
    settle(page)


def go_on_with_the_card(page: Page) -> None:
    """Look at the card that was begun, where Tubes opened on another box; the box stays."""
    look_often(page, "shown", ".bench-choice select")
    begun = page.get_by_role("button", name="Go on with it")
    if begun.count():
        begun.first.click()
        look_often(page, "shown", ".bench-use, .bench-picture")


def settle(page: Page) -> None:
    """Wait until every picture that is asked for has come, and has been drawn."""
    page.evaluate(SETTLED)


def take_surround(page: Page, kind: str) -> None:
    """Take the light, middle or dark surround."""
    page.get_by_role("button", name=f"{kind} surround").click()


def _press(name: str) -> Callable[[Page], None]:
    return lambda page: page.get_by_role("button", name=name).first.click()


def _tell(page: Page) -> None:
    page.evaluate(
        "import('/static/core/say.js').then(({ tell }) => tell('Something was not done.'))"
    )


def _ask(page: Page) -> None:
    page.evaluate("""import('/static/parts/dialog/dialog.js').then(({ ask }) => {
        ask({ title: "Which?", text: "Two ways.", answers: [["a", "This"], ["b", "That"]] });
    })""")


def _dab(page: Page) -> Locator:
    return page.get_by_role("button", name="Dab 4,")


def _point(page: Page) -> None:
    _dab(page).click()
    page.get_by_role("button", name="Point to the paint").click()


def _point_at_dabs(page: Page) -> None:
    _press("By pointing")(page) if page.get_by_role("button", name="By pointing").count() else None
    _press("D The dab")(page)
    _press("K A known colour")(page)
    page.locator(".check-otherwise summary").first.click()


def _nudges(page: Page) -> None:
    page.locator(".slip.open .nudges summary").click()
    page.locator(".nudges-ways").first.wait_for()


def _strips(page: Page) -> None:
    _press("Show the strips")(page)
    page.locator(".bench-demonstration").first.wait_for()


OVER: dict[str, tuple[str, Callable[[Page], None]]] = {
    "a warning": ("look", _tell),
    "a question": ("look", _ask),
    "the canvas": ("look", _press("Canvas")),
    "the crop": ("look", _press("Crop")),
    "a card": ("look", lambda page: page.get_by_label("Card").select_option("toned card")),
    "clipping": ("light", lambda page: page.get_by_label("Hatch what is clipped").check()),
    "masses": ("light", lambda page: page.get_by_label("Masses", exact=True).check()),
    "a mix's tubes": ("mix", lambda page: page.locator(".slip.open .tubes-of summary").click()),
    "a dab": ("tubes", lambda page: _dab(page).click()),
    "a spot pointed to": ("tubes", lambda page: _point(page)),
    "strips for a class": ("tubes", _strips),
    "dabs pointed to": ("check", _point_at_dabs),
    "what moves a puddle": ("mix", _nudges),
    "a new box": ("mix", _press("Start a box from pigments")),
}
"""What may stand open over a view, and how it comes to be; two come by the page's own modules."""


def show_over(page: Page, key: str, what: str) -> None:
    """Open a view, and something over it."""
    view, act = OVER[what]
    show(page, key, view)
    act(page)
    settle(page)


def set_surround(page: Page, kind: str) -> None:
    """Set the surround where its buttons cannot be reached, as under a dialog."""
    page.evaluate("(kind) => { document.documentElement.dataset.surround = kind; }", kind)
