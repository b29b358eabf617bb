"""Connections that say nothing, or say it a letter at a time: how long they are waited for.

Whoever is on the network can reach the port of a shared studio, though not what is behind it. So
what the browsers that have come in need is never theirs to take: each wait has an end, those who
have not come in have only so many connections between them, and this machine's own address
is not counted with the network's.
"""

from __future__ import annotations

import asyncio
from typing import Any

import h11
from uvicorn.protocols.http.h11_impl import H11Protocol

from refmatch.web.guard import CAME_IN

LOOPBACK = "127.0.0.1"

HEAD_S = 10.0
"""Until the head of a request is there, from the connection or from its first letter."""

BODY_S, LEAST_BYTES_PER_S = 10.0, 20_000.0
"""A body may take so long, and as long as it would at this rate, a bad wireless network's."""

MOST_STRANGERS, MOST_FROM_ONE = 64, 16
"""Connections from the network, and from one address of it, that have not come in. A browser opens
six at once, and each comes in with its first request."""

FRESH_S = 1.0
"""So long a connection is given to say who it is before it must make room: a class behind one
router opens many at once."""

MOST_AT_ALL = 400
"""Of strangers' connections, fresh ones too: a process may have some 1000 files open."""


class Protocol(H11Protocol):
    """HTTP/1.1 as it is, with an end to every wait."""

    is_own = False
    _since = 0.0
    _body_begun = False
    _end: asyncio.TimerHandle | None = None

    @property
    def is_stranger(self) -> bool:
        """Say whether it takes one of the places of those who have not come in."""
        return not (self.is_own or self.transport.is_closing() or self._came_in)

    @property
    def _came_in(self) -> bool:
        scope: Any = self.scope
        return bool(scope and scope.get(CAME_IN))

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        super().connection_made(transport)
        self.is_own = self.server is not None and self.server[0] == LOOPBACK
        self._since = self.loop.time()
        self._wait(HEAD_S)
        if not self.is_own:
            self._make_room()

    def _make_room(self) -> None:
        """Let the one that has waited longest go, where strangers are too many."""
        strangers = [
            other
            for other in self.connections
            if isinstance(other, Protocol) and other.is_stranger and other is not self
        ]
        alike = [other for other in strangers if _address(other) == _address(self)]
        for crowd, most, least_s in (
            (alike, MOST_FROM_ONE, FRESH_S),
            (strangers, MOST_STRANGERS, FRESH_S),
            (strangers, MOST_AT_ALL, 0.0),
        ):
            longest = min(crowd, key=lambda other: other._since, default=self)
            if len(crowd) >= most and self._since - longest._since >= least_s:
                longest.transport.abort()
                break

    def data_received(self, data: bytes) -> None:
        super().data_received(data)
        state = self.conn.their_state
        if state is h11.SEND_BODY:
            if not self._body_begun:
                self._body_begun = True
                self._wait(BODY_S + self._stated_length() / LEAST_BYTES_PER_S)
            return
        self._body_begun = False
        if state is not h11.IDLE:
            self._stop_waiting()
        elif self._end is None:
            self._wait(HEAD_S)

    def on_response_complete(self) -> None:
        super().on_response_complete()
        if self._body_begun and self.conn.their_state is h11.SEND_BODY:
            self._wait(BODY_S)  # it was refused, and goes on sending

    def connection_lost(self, exc: Exception | None) -> None:
        self._stop_waiting()
        super().connection_lost(exc)

    def _stated_length(self) -> int:
        stated = dict(self.headers).get(b"content-length", b"0")
        return int(stated)  # the parser has held it to digits

    def _wait(self, seconds: float) -> None:
        self._stop_waiting()
        self._end = self.loop.call_later(seconds, self.transport.abort)

    def _stop_waiting(self) -> None:
        if self._end is not None:
            self._end.cancel()
            self._end = None


def _address(connection: Protocol) -> str:
    return connection.client[0] if connection.client else ""
