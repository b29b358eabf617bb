"""What a painter does in a window, and what they may rely on."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any, NamedTuple

from playwright.sync_api import Locator, Page, expect

from tests.browser.watching import look_often

SAMPLES = Path(__file__).parents[2] / "sample_images"
TRUTH = json.loads((SAMPLES / "garden-table.json").read_text("utf-8"))
PLACES = {place["label"]: place for place in TRUTH["places"]}
CARD = TRUTH["neutral"]
FOUR = ("lying pear", "jug in the light", "plum", "linen in the light")
"""Places whose true colours are told beside the sample photo."""


class Point(NamedTuple):
    """A place on the screen, in CSS pixels."""

    x: float
    y: float


def tube_of(words: str) -> str:
    """The tube that a row of a recipe counts, straight or let down."""
    return re.sub(r" let-down \(.*\)$", "", words)


class Painter:
    """One painter at one window."""

    def __init__(self, page: Page) -> None:
        self.page = page

    @property
    def painting(self) -> str:
        """The key of the painting that is open."""
        found = re.search(r"#/(\w+)", self.page.url)
        assert found, f"no painting is open at {self.page.url}"
        return found[1]

    @property
    def state(self) -> dict[str, Any]:
        """The painting as the server has it, asked past the page."""
        return self.ask("GET", f"paintings/{self.painting}")

    def ask(self, method: str, path: str, what: dict[str, Any] | None = None) -> dict[str, Any]:
        """Ask the server as the page would, without the page."""
        base = self.page.url.partition("#")[0]
        headers = {"origin": base.rstrip("/")}
        answer = self.page.request.fetch(
            f"{base}api/{path}", method=method, headers=headers, data=what
        )
        told: dict[str, Any] = answer.json()
        assert answer.ok, told
        return told

    def send(self, path: str, data: bytes) -> dict[str, Any]:
        """Send a photo's bytes as the page would, without the page."""
        base = self.page.url.partition("#")[0]
        headers = {"origin": base.rstrip("/"), "content-type": "image/jpeg"}
        answer = self.page.request.post(f"{base}api/{path}", headers=headers, data=data)
        told: dict[str, Any] = answer.json()
        assert answer.ok, told
        return told

    def change(self, do: str, **fields: Any) -> dict[str, Any]:
        """Change the painting past the page, as another window would."""
        path = f"paintings/{self.painting}"
        revision = self.ask("GET", path)["revision"]
        return self.ask("POST", f"{path}/changes", {"revision": revision, "do": do, **fields})

    def begin(self, sample: str = "garden-table", view: str = "look") -> None:
        """Begin a painting of a sample past the start page, and open it."""
        key = self.ask("POST", f"paintings?sample={sample}")["id"]
        self.go(key, view)

    def go(self, key: str, view: str) -> None:
        """Open a view of a painting by its address."""
        self.page.goto(f"{self.page.url.partition('#')[0]}#/{key}/{view}")
        self.arrived(view)

    def walk(self, word: str) -> None:
        """Walk the road to a view."""
        self.road(word).click()
        self.arrived(word.lower())

    def road(self, word: str) -> Locator:
        return self.page.get_by_role("navigation", name="The road").get_by_role("link", name=word)

    def arrived(self, view: str) -> None:
        look_often(self.page, "arrived", view)
        expect(self.page.locator("body")).to_have_attribute("data-view", view)
        self.page.locator("main h1").first.wait_for(state="attached")

    def saved(self) -> None:
        """Wait until the page says that all is saved."""
        look_often(self.page, "saved")
        expect(self.page.locator(".head .saved")).to_have_text(re.compile(r"^saved \d\d:\d\d$"))

    def spot(self, place: dict[str, Any]) -> Point:
        """Where a place of the photo lies on the screen."""
        photo = self.page.locator(".stage .surface .sheet").bounding_box()
        size = self.state["photo"]
        assert photo
        return Point(
            photo["x"] + photo["width"] * place["x_px"] / size["width_px"],
            photo["y"] + photo["height"] * place["y_px"] / size["height_px"],
        )

    def click_on(self, place: dict[str, Any]) -> None:
        """Click a place of the photo."""
        self.page.mouse.click(*self.spot(place))

    @property
    def holes(self) -> Locator:
        """The holes on the photo."""
        return self.page.locator(".stage .hole")

    def used(self) -> list[str]:
        """The tubes of the open slip's recipe, as its lines name them."""
        words = self.page.locator(".slip.open .lines li > span:last-child").all_inner_texts()
        return [tube_of(word) for word in words]

    def lay_out(self) -> None:
        """Read the light off the card and punch four named holes, past the page."""
        spot = {key: CARD[key] for key in ("x_px", "y_px", "diameter_px", "lstar")}
        self.change("light", method="neutral", keep_light_percent=0, set_exposure=True, **spot)
        for label in FOUR:
            place = PLACES[label]
            made = self.change(
                "punch", **{key: place[key] for key in ("x_px", "y_px", "diameter_px")}
            )["made"]
            self.change("name", hole=made, label=label)
