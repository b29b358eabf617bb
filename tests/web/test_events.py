"""Server-sent events as the HTML standard, 9.2, has them; streams that end and give way."""

from __future__ import annotations

import asyncio
from collections.abc import Callable

from refmatch.web import events
from refmatch.web.events import MOST_AT_ONCE, Streams, event

Listener = Callable[[int, str], None]


class Desk:
    """Something to listen to."""

    def __init__(self) -> None:
        self.listeners: list[Listener] = []

    def listen(self, listener: Listener) -> Callable[[], None]:
        self.listeners.append(listener)
        return lambda: self.listeners.remove(listener)


def test_an_event_is_told_as_the_standard_has_it() -> None:
    """HTML standard, 9.2.6: fields on lines of their own, a blank line sends the event."""
    assert event(7, "w") == 'event: revision\ndata: {"revision": 7, "window": "w"}\n\n'


def test_a_windows_name_cannot_break_out_of_its_line() -> None:
    assert event(7, "a\n\nevent: revision\ndata: x").count("\n") == 3


def test_a_stream_begins_with_the_revision_that_is_there() -> None:
    async def first() -> str:
        async for told in Streams().follow("b", Desk().listen, lambda: 3):
            return told
        raise AssertionError

    assert asyncio.run(first()) == "retry: 3000\n\n" + event(3, "")


def test_what_another_thread_says_is_told() -> None:
    async def two() -> list[str]:
        desk, told = Desk(), []
        async for each in Streams().follow("b", desk.listen, lambda: 3):
            told.append(each)
            if len(told) == 2:
                break
            await asyncio.to_thread(desk.listeners[0], 4, "other")
        return told

    assert asyncio.run(two())[1] == event(4, "other")


def test_a_change_just_while_a_stream_begins_is_told() -> None:
    """Between looking at the painting and listening to it there is no moment."""

    async def two() -> list[str]:
        desk, told = Desk(), []

        def now() -> int:
            for listener in desk.listeners:
                listener(4, "other")
            return 3

        async for each in Streams().follow("b", desk.listen, now):
            told.append(each)
            if len(told) == 2:
                break
        return told

    assert asyncio.run(two())[1] == event(4, "other")


def test_a_quiet_stream_says_that_it_is_still_there(monkeypatch) -> None:
    monkeypatch.setattr(events, "KEEP_ALIVE_S", 0.01)

    async def two() -> list[str]:
        told = []
        async for each in Streams().follow("b", Desk().listen, lambda: 3):
            told.append(each)
            if len(told) == 2:
                return told
        raise AssertionError

    assert asyncio.run(two())[1].startswith(":")  # a comment, HTML standard 9.2.5


def test_every_stream_ends_when_the_server_does_and_stops_listening() -> None:
    async def all_of_it() -> None:
        streams, desk = Streams(), Desk()
        tasks = [asyncio.create_task(_whole(streams, name, desk)) for name in "abc"]
        await asyncio.sleep(0.05)
        assert len(desk.listeners) == 3
        streams.close()
        await asyncio.wait_for(asyncio.gather(*tasks), 1.0)
        assert desk.listeners == []

    asyncio.run(all_of_it())


def test_the_oldest_of_many_windows_gives_way() -> None:
    """Browsers open six connections to a server over HTTP/1.1 (HTML standard, 9.2.10)."""

    async def one_more() -> list[bool]:
        streams, desk = Streams(), Desk()
        tasks = []
        for _ in range(MOST_AT_ONCE + 1):
            tasks.append(asyncio.create_task(_whole(streams, "same", desk)))
            await asyncio.sleep(0.02)
        done = [task.done() for task in tasks]
        streams.close()
        await asyncio.gather(*tasks)
        return done

    assert asyncio.run(one_more()) == [True] + [False] * MOST_AT_ONCE


async def _whole(streams: Streams, browser: str, desk: Desk) -> list[str]:
    return [told async for told in streams.follow(browser, desk.listen, lambda: 1)]
