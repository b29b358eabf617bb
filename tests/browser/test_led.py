"""The first painting is led, and paintings are tidied, each step with a way back."""

from __future__ import annotations

import re

from playwright.sync_api import Page, expect

from tests.browser.axe import ALL, wrong
from tests.browser.painter import Painter
from tests.browser.serving import Server
from tests.browser.watching import PHONE, Windows

WORDS = ("puddle", "let-down", "key", "string")
"""What a newcomer does not know (common practice, no source)."""

ROAD = ("Look", "Tubes", "Mix", "Plan", "Print", "Check", "Canvas")


def led(page: Page):
    return page.get_by_role("region", name="Your first painting")


def test_a_newcomer_is_led_through_every_view(windows: Windows, fresh: Server) -> None:
    page = windows.open(device=PHONE)
    first = page.get_by_role("button", name=re.compile("Try it")).first
    expect(first).to_contain_text("Garden table")
    first.click()
    painter = Painter(page)
    painter.arrived("light")
    named = []
    for word in ("", *ROAD):
        if word:
            led(page).get_by_role("link", name=f"On to {word}").click()
            painter.arrived(word.lower())
        named += page.locator(".led dfn").all_inner_texts()
        width = page.evaluate("document.documentElement.scrollWidth")
        assert width <= page.viewport_size["width"], word  # type: ignore[index]
        assert not wrong(page, ALL), word
    assert sorted(named) == sorted(WORDS), "each new word is named once"
    led(page).get_by_role("button", name="Done").click()
    expect(led(page)).to_have_count(0)
    painter.walk("Look")
    expect(led(page)).to_have_count(0)


def test_the_guide_is_left_at_once_and_not_forced_again(windows: Windows, fresh: Server) -> None:
    page = windows.open()
    page.get_by_role("button", name=re.compile("Garden table")).click()
    led(page).get_by_role("button", name="Go on alone").click()
    expect(led(page)).to_have_count(0)
    page.get_by_role("link", name="refmatch: all paintings").click()
    expect(page.get_by_label(re.compile("^Lead me through it"))).not_to_be_checked()


def test_a_painting_is_copied_renamed_put_away_and_deleted(windows: Windows, fresh: Server) -> None:
    page = windows.open()
    Painter(page).begin()
    page.get_by_role("link", name="refmatch: all paintings").click()
    cards = page.get_by_role("region", name="Your paintings").locator(".cards > li")
    undo = page.get_by_role("button", name="Undo", exact=True)
    cards.first.wait_for()
    count = cards.count()

    def do(word: str) -> None:
        fold = cards.first.locator(".card-ways")
        if not fold.evaluate("fold => fold.open"):
            fold.locator("summary").click()
        fold.get_by_role("button", name=word).click()

    do("Copy")
    expect(cards).to_have_count(count + 1)
    undo.click()
    expect(cards).to_have_count(count)
    fold = cards.first.locator(".card-ways")
    fold.evaluate("fold => { fold.open = true; }")
    cards.first.get_by_label(re.compile("^Title of")).fill("Breakfast")
    do("Rename")
    expect(cards.first.get_by_role("link")).to_contain_text("Breakfast")
    undo.click()
    expect(cards.first.get_by_role("link")).to_contain_text("Garden table")
    for word in ("Put away", "Delete"):
        do(word)
        expect(cards).to_have_count(count - 1)
        undo.click()
        expect(cards).to_have_count(count)


def test_the_sample_photo_leads_to_a_box_in_use(windows: Windows, fresh: Server) -> None:
    """No file is asked for; from the eight tubes of the photo to what the painting is mixed of."""
    page = windows.open()
    painter = Painter(page)
    painter.begin(view="tubes")
    page.get_by_role("button", name="Try it with the sample photo").click()
    expect(page.get_by_text("22 read.")).to_be_visible()
    page.get_by_role("button", name="Make the box").click()
    expect(page.get_by_text("This painting is mixed from it.")).to_be_visible()
    assert len(painter.state["box"]["tubes"]) == 8
