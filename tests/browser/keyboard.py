"""A painter who has only a keyboard: Tab reaches every place, and the focus is always seen."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import ElementHandle, Locator

from tests.browser.painter import Painter

MOST_TABS = 120
STEP_PX = 6
FAR = 10
"""The crosshair goes six pixels of the screen with an arrow key, with Shift sixty."""

FOCUS = """(wanted) => {
    const focused = document.activeElement;
    if (!focused || focused === document.body) return null;
    const said = `${focused.tagName} ${focused.getAttribute("aria-label") ?? focused.textContent}`;
    const drawn = (element) => {
        const style = getComputedStyle(element);
        const box = element.getBoundingClientRect();
        return style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2
            && style.opacity > 0.9 && box.width >= 20 && box.height >= 20;
    };
    const marks = [focused, focused.closest("label"), focused.closest(".way")].filter(Boolean);
    const box = focused.getBoundingClientRect();
    const label = focused.closest("label");
    const related = (a, b) => a && b && (a.contains(b) || b.contains(a));
    const shownAt = (across, down) => {
        const [x, y] = [box.left + across * box.width, box.top + down * box.height];
        const at = document.elementFromPoint(x, y);
        return related(focused, at) || related(label, at);
    };
    const shares = [0.5, 0.1, 0.9];
    return {
        there: focused === wanted,
        said: said.slice(0, 80),
        outlined: marks.some(drawn),
        seen: shares.some((across) => shares.some((down) => shownAt(across, down))),
    };
}"""


class Keyboard(Painter):
    """A painter whose every act is a key."""

    def tab_to(self, wanted: Locator, key: str = "Tab") -> None:
        """Press Tab until the focus is there; everywhere on the way it must be seen."""
        place = wanted.element_handle()
        for _ in range(MOST_TABS):
            if self.check_focus(place):
                return
            self.press(key)
        raise AssertionError(f"{key} does not reach {wanted}")

    def check_focus(self, wanted: ElementHandle | None = None) -> bool:
        """See that the focus is drawn and not hidden; say whether it is where it is wanted."""
        focus = self.page.evaluate(FOCUS, wanted)
        if focus:
            assert focus["outlined"], f"no outline on {focus['said']}"
            assert focus["seen"], f"the focus is hidden on {focus['said']}"
        return bool(focus and focus["there"])

    def press(self, key: str, times: int = 1) -> None:
        for _ in range(times):
            self.page.keyboard.press(key)

    def write(self, words: str) -> None:
        """Write into the field that has the focus, over what is in it."""
        self.press("Control+a")
        self.page.keyboard.type(words)

    def walk(self, word: str) -> None:
        self.tab_to(self.road(word), "Shift+Tab")
        self.press("Enter")
        self.arrived(word.lower())

    @property
    def photo(self) -> Locator:
        return self.page.get_by_role("application")

    def go_to(self, place: dict[str, Any], start: dict[str, Any]) -> None:
        """Move the crosshair from one place of the photo to another."""
        here, there = self.spot(start), self.spot(place)
        self._go(there.x - here.x, "ArrowRight", "ArrowLeft")
        self._go(there.y - here.y, "ArrowDown", "ArrowUp")

    def nudge(self, hole: dict[str, Any], place: dict[str, Any]) -> None:
        """Move the hole that has the focus the last few pixels, to within one of the screen."""
        shown = self.page.locator(".stage .surface .sheet").bounding_box()
        assert shown
        step = max(1, round(self.state["photo"]["width_px"] / shown["width"]))
        for axis, on, back in (
            ("x_px", "ArrowRight", "ArrowLeft"),
            ("y_px", "ArrowDown", "ArrowUp"),
        ):
            way = round((place[axis] - hole[axis]) / step)
            self.press(on if way > 0 else back, abs(way))

    def _go(self, way_px: float, on: str, back: str) -> None:
        far, near = divmod(round(abs(way_px) / STEP_PX), FAR)
        key = on if way_px > 0 else back
        self.press(f"Shift+{key}", far)
        self.press(key, near)


MIDDLE = {"x_px": 960.0, "y_px": 640.0}
"""The middle of the garden table, where the crosshair is at first."""
