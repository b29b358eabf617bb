"""Telling every open window that a painting has changed (server-sent events, HTML standard 9.2)."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator, Callable
from dataclasses import dataclass, field

Listener = Callable[[int, str], None]
Listen = Callable[[Listener], Callable[[], None]]

KEEP_ALIVE_S = 15.0
"""A comment is sent when nothing else was for so long, so that a lost window is noticed."""

MOST_AT_ONCE = 4
"""A browser opens six connections to one server; with more streams it would have none left."""

KEEP_ALIVE = ": still here\n\n"
RETRY = "retry: 3000\n\n"


@dataclass
class Streams:
    """The event streams that are open, so that they can be ended when the server stops.

    Where one browser opens many, the oldest gives way; it comes back by itself in a while,
    and is then told the revision it missed.
    """

    _open: dict[str, list[asyncio.Queue[str | None]]] = field(default_factory=dict)

    def close(self) -> None:
        """End every stream; from the event loop."""
        for queues in self._open.values():
            for queue in queues:
                queue.put_nowait(None)

    async def follow(
        self, browser: str, listen: Listen, now: Callable[[], int]
    ) -> AsyncIterator[str]:
        """Give a painting's revisions as they come, beginning with the one it has ``now``.

        That is asked, in a thread, when changes are heard already: none falls between.
        """
        queue: asyncio.Queue[str | None] = asyncio.Queue()
        loop = asyncio.get_running_loop()

        def hear(revision: int, window: str) -> None:
            loop.call_soon_threadsafe(queue.put_nowait, event(revision, window))

        own = self._open.setdefault(browser, [])
        own.append(queue)
        if len(own) > MOST_AT_ONCE:
            own[0].put_nowait(None)
        stop = listen(hear)
        try:
            yield RETRY + event(await asyncio.to_thread(now), "")
            while (line := await _next(queue)) is not None:
                yield line
        finally:
            stop()
            own.remove(queue)


def event(revision: int, window: str) -> str:
    """Return one event: the painting's new revision, and the window that made it."""
    data = json.dumps({"revision": revision, "window": window})
    return f"event: revision\ndata: {data}\n\n"


async def _next(queue: asyncio.Queue[str | None]) -> str | None:
    try:
        return await asyncio.wait_for(queue.get(), KEEP_ALIVE_S)
    except TimeoutError:
        return KEEP_ALIVE
