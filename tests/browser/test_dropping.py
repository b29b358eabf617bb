"""A photo dropped on the page: it begins a painting, or is kept from taking the page away."""

from __future__ import annotations

import base64

from playwright.sync_api import Page, expect

from tests.browser.painter import SAMPLES, Painter
from tests.browser.watching import Windows

DROP = """([name, type, data]) => {
    const bytes = Uint8Array.from(atob(data), (letter) => letter.charCodeAt(0));
    const dataTransfer = new DataTransfer();
    dataTransfer.items.add(new File([bytes], name, { type }));
    const make = (kind) => new DragEvent(kind, { dataTransfer, bubbles: true, cancelable: true });
    const main = document.querySelector("main > *");
    return ["dragover", "drop"].map((kind) => !main.dispatchEvent(make(kind)));
}"""


def drop(page: Page, name: str, kind: str, data: bytes) -> None:
    """Drop a file on the page, and see that the browser leaves it to the page."""
    told = page.evaluate(DROP, [name, kind, base64.b64encode(data).decode()])
    assert told == [True, True]


def test_a_photo_dropped_on_the_start_begins_a_painting(windows: Windows) -> None:
    page = windows.open()
    expect(page.get_by_role("heading", name="Begin with a photo")).to_be_visible()
    drop(page, "windfalls.jpg", "image/jpeg", (SAMPLES / "garden-table.jpg").read_bytes())
    Painter(page).arrived("light")
    expect(page.get_by_label("Title of the painting")).to_have_value("Windfalls")


def test_a_text_dropped_on_the_start_is_refused_by_its_name(windows: Windows) -> None:
    page = windows.open()
    drop(page, "letter.txt", "text/plain", b"Dear painter")
    expect(page.get_by_text("“letter.txt” is not a photo")).to_be_visible()


def test_a_photo_dropped_on_a_painting_leaves_it_open(windows: Windows, laid_out: str) -> None:
    page = windows.open(f"/{laid_out}/look")
    painter = Painter(page)
    painter.arrived("look")
    drop(page, "windfalls.jpg", "image/jpeg", b"")
    expect(page.get_by_text("To begin with another photo")).to_be_visible()
    assert painter.painting == laid_out
