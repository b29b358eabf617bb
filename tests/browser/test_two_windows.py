"""Two windows on one painting, and a server that goes away: nothing is lost or overwritten."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import APIResponse, Page, Route, expect

from tests.browser.painter import CARD, PLACES, Painter
from tests.browser.serving import Server
from tests.browser.watching import Windows

SEEN_AGAIN = "document.dispatchEvent(new Event('visibilitychange'))"
"""As when the painter comes back to the window: it asks for what it may have missed."""
LISTEN = """async (key) => {
    const events = new EventSource(`/api/paintings/${key}/events`);
    const next = () => new Promise((done) => {
        events.addEventListener("revision", done, { once: true });
    });
    await next();
    window.news = next().then(() => events.close());
}"""
"""Make ``news`` a promise of the next change that the page is told of."""
PEAR, JUG = PLACES["lying pear"], PLACES["jug in the light"]


def beside(painter: Painter, deaf: bool = False) -> Painter:
    """Open a second window in the same browser; a deaf one hears of no changes elsewhere."""
    page = painter.page.context.new_page()
    if deaf:
        page.route(re.compile("/events$"), lambda route: route.abort())
    page.goto(painter.page.url)
    other = Painter(page)
    other.arrived("look")
    return other


@pytest.fixture
def painter(windows: Windows) -> Painter:
    """A painter in Look, no hole punched yet."""
    painter = Painter(windows.open())
    painter.begin()
    return painter


def test_each_sees_what_the_other_does(painter: Painter) -> None:
    other = beside(painter)
    painter.click_on(PEAR)
    expect(other.holes).to_have_count(1)
    expect(other.page.locator(".slip")).to_have_count(1)
    other.page.get_by_label("Name of hole 1").fill("pear")
    other.page.keyboard.press("Enter")
    expect(painter.page.get_by_label("Name of hole 1")).to_have_value("pear")
    other.page.get_by_role("button", name="Undo name").click()
    expect(painter.page.get_by_label("Name of hole 1")).to_have_value("")


@pytest.mark.parametrize(
    ("answer", "holes"), [("Leave it as it is", [PEAR]), ("Make mine too", [PEAR, JUG])]
)
def test_who_is_late_is_asked(
    windows: Windows, painter: Painter, answer: str, holes: list[dict]
) -> None:
    windows.forgive("status of 409|ERR_FAILED")
    late = beside(painter, deaf=True)
    painter.click_on(PEAR)
    painter.saved()
    late.click_on(JUG)
    question = late.page.get_by_role("dialog", name="Another window was faster")
    expect(question).to_be_visible()
    expect(late.page.locator(".head .saved")).to_contain_text("not saved")
    expect(late.holes).to_have_count(1)
    assert len(late.state["holes"]) == 1, "nothing is done before the answer"
    question.get_by_role("button", name=answer).click()
    expect(question).to_have_count(0)
    expect(late.holes).to_have_count(len(holes))
    expect(painter.holes).to_have_count(len(holes))
    found = [hole["x_px"] for hole in late.state["holes"]]
    assert found == [pytest.approx(place["x_px"], abs=3) for place in holes]


def test_the_question_names_all_that_hangs_on_it(windows: Windows, painter: Painter) -> None:
    """Leaving it drops what was done after it too: that must be known before."""
    windows.forgive("status of 409|ERR_FAILED")
    late = beside(painter, deaf=True)
    painter.click_on(PEAR)
    painter.saved()
    jug, card = late.spot(JUG), late.spot(CARD)

    def while_it_is_under_way(route: Route) -> None:
        late.page.unroute("**/changes")
        late.page.mouse.click(*card)
        route.continue_()

    late.page.route("**/changes", while_it_is_under_way)
    late.page.mouse.click(*jug)
    question = late.page.get_by_role("dialog")
    expect(question).to_contain_text("has not been made, nor 1 more after it")
    question.get_by_role("button", name="Make mine too").click()
    late.saved()
    assert len(late.state["holes"]) == 3


def test_escape_from_the_question_overwrites_nothing(windows: Windows, painter: Painter) -> None:
    windows.forgive("status of 409|ERR_FAILED")
    late = beside(painter, deaf=True)
    painter.click_on(PEAR)
    painter.saved()
    late.click_on(JUG)
    expect(late.page.get_by_role("dialog")).to_be_visible()
    late.page.keyboard.press("Escape")
    expect(late.page.get_by_role("dialog")).to_have_count(0)
    assert len(late.state["holes"]) == 1


def test_a_late_answer_never_takes_the_page_back(painter: Painter) -> None:
    """The page asks for the state, a change is made, and only then the older state comes."""
    page, state = painter.page, f"**/api/paintings/{painter.painting}"
    held: list[tuple[Route, APIResponse]] = []
    page.route(state, lambda route: held.append((route, route.fetch())), times=1)
    page.evaluate(SEEN_AGAIN)
    wait_for(page, held)
    painter.click_on(PEAR)
    painter.saved()
    with page.expect_response(lambda answer: answer.url.endswith(painter.painting)):
        route, answer = held.pop()
        route.fulfill(response=answer)
    expect(painter.holes).to_have_count(1)
    painter.click_on(JUG)
    expect(painter.holes).to_have_count(2)
    painter.saved()
    expect(page.get_by_role("dialog")).to_have_count(0)


def test_news_that_comes_while_a_change_is_under_way_is_followed(painter: Painter) -> None:
    page, held = painter.page, list[tuple[Route, APIResponse]]()
    page.route("**/changes", lambda route: held.append((route, route.fetch())), times=1)
    painter.click_on(PEAR)
    wait_for(page, held)
    page.evaluate(LISTEN, painter.painting)
    painter.change("title", title="Changed elsewhere")
    page.evaluate("news")
    route, answer = held.pop()
    route.fulfill(response=answer)
    expect(page.get_by_label("Title of the painting")).to_have_value("Changed elsewhere")
    painter.click_on(JUG)
    expect(painter.holes).to_have_count(2)
    painter.saved()
    expect(page.get_by_role("dialog")).to_have_count(0)


def test_a_change_whose_answer_was_lost_is_made_once(windows: Windows, painter: Painter) -> None:
    windows.forgive("ERR_FAILED|status of 409")
    page = painter.page

    def lose_the_answer(route: Route) -> None:
        assert route.fetch().ok
        route.abort()

    page.route("**/changes", lose_the_answer, times=1)
    with page.expect_response(lambda answer: answer.status == 409):
        painter.click_on(PEAR)
    painter.saved()
    expect(page.get_by_role("dialog")).to_have_count(0)
    assert len(painter.state["holes"]) == 1


def test_a_change_waits_for_a_server_that_is_away(
    windows: Windows, painter: Painter, server: Server
) -> None:
    """The server dies, is started again as a painter would, and its new link is followed."""
    windows.forgive("ERR_|status of 403")
    page = painter.page
    painter.click_on(PEAR)
    painter.saved()
    jug = painter.spot(JUG)
    server.kill()
    page.mouse.click(*jug)
    sign = page.locator(".head .saved")
    expect(sign).to_contain_text("not saved")
    with page.expect_response(lambda answer: answer.status == 403):
        server.start()
    expect(sign).to_contain_text("not saved")
    come_in_beside(windows, page)
    painter.saved()
    expect(painter.holes).to_have_count(2)
    assert len(painter.state["holes"]) == 2
    expect_to_hear(painter)


def wait_for(page: Page, held: list[tuple[Route, APIResponse]]) -> None:
    """Wait until an answer is held back."""
    for _ in range(300):
        if held:
            return
        page.wait_for_timeout(50)


def come_in_beside(windows: Windows, page: Page) -> None:
    """Follow the new link in another window of the same browser, as the studio itself does."""
    other = page.context.new_page()
    windows.come_in(other)
    other.close()


def expect_to_hear(painter: Painter) -> None:
    """See that changes elsewhere are heard of again."""
    painter.change("title", title="Changed elsewhere")
    expect(painter.page.get_by_label("Title of the painting")).to_have_value("Changed elsewhere")
