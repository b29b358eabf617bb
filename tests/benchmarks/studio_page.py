"""How quick the studio page is, measured in a real browser on large photos.

Run by hand: ``python -m tests.benchmarks.studio_page``. A photo of 24 megapixels and one of
50 are made from a sample (enlarged, with noise), the box has twelve tubes and its index is
there, and everything is timed as it is seen: from the event to the frame with the answer.
"""

from __future__ import annotations

import math
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import imagecodecs
import numpy as np
from PIL import Image
from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser.conftest import ARGUMENTS, chromium_path
from tests.browser.painter import SAMPLES
from tests.browser.serving import Server

SIZES = {"24 MP": (6000, 4000), "50 MP": (8664, 5776)}
CLICKS, HOLES_AT_ONCE, ANEW = 40, 10, 8
SECONDS = 3.0
SEED = 20261125

CLICK = """(number) => new Promise((told, gone) => {
    setTimeout(() => gone(new Error(`no slip ${number} came`)), 20000);
    let began = null;
    addEventListener("pointerdown", (event) => { began ??= event.timeStamp; },
        { capture: true, once: true });
    const shown = (what) => document.querySelector(`.slip.open ${what}`);
    const there = () => shown(".lines li")
        && shown(".slip-number .number")?.textContent === String(number);
    const watch = new MutationObserver(() => {
        if (began === null || !there()) return;
        watch.disconnect();
        requestAnimationFrame(() => setTimeout(() => told(performance.now() - began)));
    });
    watch.observe(document.querySelector(".slips"), { childList: true, subtree: true });
})"""
"""Milliseconds from the pointer going down to the frame after the slip and its recipe."""

FOUND_ANEW = """(select) => new Promise((told) => {
    const waiting = () => document.querySelector(".slip-verdict.anew");
    let seen = false;
    const began = performance.now();
    const watch = new MutationObserver(() => {
        seen ||= Boolean(waiting());
        if (!seen || waiting()) return;
        watch.disconnect();
        requestAnimationFrame(() => setTimeout(() => told(performance.now() - began)));
    });
    watch.observe(document.querySelector(".mix-slips"), { childList: true, subtree: true });
    select.selectedIndex = (select.selectedIndex + 1) % select.options.length;
    select.dispatchEvent(new Event("change", { bubbles: true }));
})"""
"""Milliseconds from another limit of parts to the frame with every mix found anew."""

EMPTY = """async (times) => {
    const took = [];
    for (let i = 0; i < times; i += 1) {
        const began = performance.now();
        await (await fetch("/static/icon.svg", { cache: "no-store" })).text();
        took.push(performance.now() - began);
    }
    return took;
}"""

COUNT_READINGS = """() => {
    const told = { shown: 0, asked: 0 };
    const shown = new MutationObserver(() => { told.shown += 1; });
    shown.observe(document.querySelector(".isolated .target"), { attributes: true });
    const asked = new PerformanceObserver((list) => {
        told.asked += list.getEntries().filter(({ name }) => name.includes("/reading?")).length;
    });
    asked.observe({ type: "resource" });
    globalThis.readingsTold = () => { shown.disconnect(); asked.disconnect(); return told; };
}"""

COUNT_FRAMES = """() => {
    const frames = [];
    let on = true;
    const frame = (at) => { frames.push(at); if (on) requestAnimationFrame(frame); };
    requestAnimationFrame(frame);
    globalThis.framesTold = () => { on = false; return frames; };
}"""

PHOTO_SEEN = """async () => {
    const image = () => document.querySelector(".stage .sheet img");
    const frame = () => new Promise(requestAnimationFrame);
    while (!(image()?.complete && image().naturalWidth)) await frame();
    await frame();
    await frame();
    return performance.now();
}"""


def large_photo(path: Path, size: tuple[int, int]) -> None:
    """Write a sample, enlarged, with the noise of a camera's sensor in it."""
    with Image.open(SAMPLES / "garden-table.jpg") as image:
        pixels = np.asarray(image.convert("RGB").resize(size, Image.Resampling.BICUBIC))
    noise = np.random.default_rng(SEED).normal(0, 4, (*pixels.shape[:2], 1)).astype(np.float32)
    noisy = np.clip(pixels + noise, 0, 255).astype(np.uint8)
    path.write_bytes(imagecodecs.jpeg_encode(noisy, level=92))


def open_page(browser: Browser, server: Server, photo: Path) -> tuple[Page, float]:
    """Start the studio on a photo; return Look, and seconds from the server's word to the photo."""
    server.start(str(photo))
    began = time.perf_counter()
    page = browser.new_page(viewport={"width": 1440, "height": 1000})
    page.goto(server.use_link())
    page.wait_for_url("**/#/*")
    page.evaluate(PHOTO_SEEN)
    first = time.perf_counter() - began
    page.goto(page.url.rstrip("/") + "/look")
    page.locator(".look .stage").wait_for()
    page.evaluate(PHOTO_SEEN)
    return page, first


def on_photo(page: Page, across: float, down: float) -> tuple[float, float]:
    box = page.locator(".stage .surface .sheet").bounding_box()
    assert box
    return box["x"] + across * box["width"], box["y"] + down * box["height"]


def clicks(page: Page, rest_ms: int) -> list[float]:
    """Punch holes all over the photo, ten at a time; ``rest_ms`` the pointer rests before."""
    spots = [(0.08 + 0.12 * (i % 8), 0.1 + 0.2 * (i // 8)) for i in range(CLICKS)]
    took = []
    for i, k in enumerate(np.random.default_rng(SEED).permutation(CLICKS)):
        number = i % HOLES_AT_ONCE + 1
        page.mouse.move(*on_photo(page, *spots[k]), steps=3)
        page.wait_for_timeout(rest_ms)
        waiting = page.evaluate_handle(f"(number) => ({{ told: ({CLICK})(number) }})", number)
        page.mouse.down()
        page.mouse.up()
        took.append(waiting.evaluate("(waiting) => waiting.told"))
        if number == HOLES_AT_ONCE:
            take_back(page)
    return took


def anew(page: Page) -> list[float]:
    """Punch holes, go to Mix, and have all their mixes found anew some times over."""
    for number in range(ANEW):
        page.mouse.click(*on_photo(page, 0.1 + 0.11 * number, 0.3 + 0.05 * (number % 5)))
        page.locator(".stage .hole").nth(number).wait_for()
    page.wait_for_timeout(1000)
    page.get_by_role("navigation", name="The road").get_by_role("link", name="Mix").click()
    page.locator(".mix-slips .slip").nth(ANEW - 1).wait_for()
    page.wait_for_timeout(1000)
    select = page.locator(".options select").nth(1)
    return [float(select.evaluate(FOUND_ANEW)) for _ in range(3)]


def take_back(page: Page) -> None:
    page.mouse.move(5, 5)
    for left in reversed(range(HOLES_AT_ONCE)):
        page.keyboard.press("Control+z")
        page.wait_for_timeout(50)
        page.locator(".stage .hole").nth(left).wait_for(state="detached")


def moving(page: Page, act: Callable[[float], None]) -> float:
    """Do something with the pointer for some seconds, as often as the browser takes it."""
    began = time.perf_counter()
    while (now := time.perf_counter() - began) < SECONDS:
        act(now)
    return time.perf_counter() - began


def readings(page: Page, dragging: bool) -> float:
    """Return how many readings a second are shown while the pointer goes round."""

    def round_about(now: float) -> None:
        across, down = 0.5 + 0.3 * math.cos(now), 0.5 + 0.3 * math.sin(1.3 * now)
        page.mouse.move(*on_photo(page, across, down))

    round_about(0)
    if dragging:
        page.mouse.click(*on_photo(page, 0.8, 0.5))
        page.locator(".stage .hole").wait_for()
        page.mouse.down()
    page.evaluate(COUNT_READINGS)
    took = moving(page, round_about)
    told: dict[str, int] = page.evaluate("readingsTold()")
    if dragging:
        page.mouse.up()
    return told["shown"] / took


def frames(page: Page, act: Callable[[float], None]) -> tuple[float, float]:
    """Return frames a second, and the longest time between two, in milliseconds."""
    page.evaluate(COUNT_FRAMES)
    moving(page, act)
    gaps = np.diff(page.evaluate("framesTold()"))
    return 1000.0 / float(gaps.mean()), float(gaps.max())


def zooming(page: Page) -> tuple[float, float]:
    page.mouse.move(*on_photo(page, 0.6, 0.5))

    def wheel(now: float) -> None:
        page.mouse.wheel(0, -60 if now % 2 < 1 else 60)

    return frames(page, wheel)


def panning(page: Page) -> tuple[float, float]:
    page.get_by_role("button", name="1 : 1").click()
    x, y = 400.0, 300.0
    page.mouse.move(x, y)
    page.mouse.down()
    found = frames(
        page,
        lambda now: page.mouse.move(x + 200 * math.sin(2 * now), y + 150 * math.sin(3 * now)),
    )
    page.mouse.up()
    return found


def row(what: str, found: str, wanted: str = "") -> None:
    print(f"{what:48} {found:>24}  {wanted}")


def quantiles(took: list[float]) -> str:
    return f"p50 {np.percentile(took, 50):.0f}, p95 {np.percentile(took, 95):.0f} ms"


def measure(browser: Browser, server: Server, name: str, photo: Path) -> None:
    """Measure everything on one photo."""
    page, first = open_page(browser, server, photo)
    row(f"{name}: server up to photo seen", f"{first:.2f} s", "at most 1.5 s")
    page.wait_for_timeout(3000)
    empty = float(np.median(page.evaluate(EMPTY, CLICKS)))
    for rest_ms, words in ((0, "at once"), (400, "after a rest")):
        before = server.processor_s()
        took = clicks(page, rest_ms)
        spent = (server.processor_s() - before) / CLICKS
        row(f"{name}: click {words} to slip with recipe", quantiles(took), "p95 at most 150 ms")
        times = f"{np.percentile(took, 50) / empty:.0f}, {np.percentile(took, 95) / empty:.0f}"
        row(f"{name}: times an empty request ({empty:.1f} ms)", times)
        row(
            f"{name}: the server's processor time a click", f"{1000 * spent:.0f} ms", "its undo too"
        )
    row(f"{name}: readings shown, pointer moving", f"{readings(page, False):.0f} a second")
    row(f"{name}: readings shown, dragging", f"{readings(page, True):.0f} a second", "30 or more")
    for words, act in (("zooming", zooming), ("panning at 1 : 1", panning)):
        rate, longest = act(page)
        row(f"{name}: {words}", f"{rate:.0f} frames/s, longest {longest:.0f} ms")
    page.get_by_role("button", name="Whole").click()
    while page.locator(".stage .hole").count():
        page.keyboard.press("Control+z")
        page.wait_for_timeout(200)
    took = anew(page)
    row(f"{name}: {ANEW} holes anew", f"{max(took):.0f} ms at most", "at most 1 s")
    row(f"{name}: times an empty request", f"{max(took) / empty:.0f}")
    page.close()


def main() -> None:
    with (
        tempfile.TemporaryDirectory() as folder,
        sync_playwright() as playwright,
        playwright.chromium.launch(executable_path=chromium_path(), args=ARGUMENTS) as browser,
    ):
        for name, size in SIZES.items():
            photo = Path(folder) / f"{size[0]}.jpg"
            large_photo(photo, size)
            server = Server(Path(folder) / "paintings")
            try:
                measure(browser, server, name, photo)
            finally:
                server.stop()


if __name__ == "__main__":
    main()
