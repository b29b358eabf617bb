"""The door of the studio: each request is looked at before anything is done for it.

A page on any web site may send requests to a server on this machine, and a name of that
site's may be made to lead here ("DNS rebinding"). So a request must name the server as
it is called, must come from its own page, and must bring the cookie.
"""

from __future__ import annotations

import hmac
import secrets
from collections.abc import Callable
from dataclasses import dataclass, field
from urllib.parse import urlsplit

from starlette.datastructures import MutableHeaders
from starlette.requests import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from refmatch.web.answers import ALWAYS, refused

# Who may come in: a launch token opens the door once, a cookie keeps it open.
#
# The token stands in a link, and links are seen: by the list of running programs, by the
# browser's history, by whoever looks at the screen. So it is good once, and what it is
# traded for is another random value that no page, script or history ever shows.

BYTES = 32
"""256 bits: beyond guessing, so that guesses need not be counted."""


@dataclass
class Keys:
    """The launch tokens not used yet, and the cookies given for those that were.

    ``cookie`` is the cookie's name. It should hold the port, since a browser keeps one jar
    for all the ports of a machine (RFC 6265, 8.5).
    """

    cookie: str
    _tokens: set[str] = field(default_factory=set)
    _given: set[str] = field(default_factory=set)

    def new_token(self) -> str:
        """Return a launch token, good once."""
        token = secrets.token_urlsafe(BYTES)
        self._tokens.add(token)
        return token

    def trade(self, token: str) -> str | None:
        """Use a launch token up and return the cookie's value, or None if it is not good."""
        key = _find(token, self._tokens)
        if key is None:
            return None
        self._tokens.discard(key)
        value = secrets.token_urlsafe(BYTES)
        self._given.add(value)
        return value

    def knows(self, value: str) -> bool:
        """Say whether a cookie of this value was given."""
        return _find(value, self._given) is not None


def _find(offered: str, known: set[str]) -> str | None:
    """Compare with every known value, so that the time taken tells nothing of any."""
    match = None
    for value in known:
        if hmac.compare_digest(offered.encode(), value.encode()):
            match = value
    return match


ENTER = "/enter"
"""The one place that needs no cookie: where it is given."""

CAME_IN = "came_in"
"""The key by which a request's scope is marked when it brought the cookie."""

LONGEST_ADDRESS = 2048
"""Characters of path and query together."""

SAFE = ("GET", "HEAD")
"""Methods that change nothing (RFC 9110, 9.2.1)."""


@dataclass(frozen=True)
class Refusal:
    """Why a request is not answered: the HTTP status, and a sentence."""

    status: int
    sentence: str


@dataclass(frozen=True)
class Door:
    """Where the server stands and who may come in.

    ``hosts`` are the names and addresses it is served on, with the port as a browser writes it.
    """

    hosts: frozenset[str]
    keys: Keys


class Guard:
    """Looks at every request, and puts the protecting headers on every answer (pure ASGI)."""

    def __init__(self, app: ASGIApp, door: Door) -> None:
        self.app = app
        self.door = door

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, or refuse it."""
        if scope["type"] == "lifespan":
            return await self.app(scope, receive, send)
        if scope["type"] != "http":
            return await send({"type": "websocket.close", "code": 1008})
        request = Request(scope)
        refusal = refusal_of(request, self.door)
        scope[CAME_IN] = refusal is None and scope["path"] != ENTER
        answer = self.app if refusal is None else refused(request, refusal.status, refusal.sentence)
        return await answer(scope, receive, _with_headers(send))


def refusal_of(request: Request, door: Door) -> Refusal | None:
    """Return why a request is refused, or None where it may go on."""
    for check in CHECKS:
        refusal = check(request, door)
        if refusal is not None:
            return refusal
    return None


def _wrong_host(request: Request, door: Door) -> Refusal | None:
    """Refuse a name that only leads here: the defence against DNS rebinding."""
    named = request.headers.getlist("host")
    if len(named) == 1 and named[0].lower() in door.hosts:
        return None
    return Refusal(421, "The studio is not served under that name; use the link it printed.")


def _long_address(request: Request, _: Door) -> Refusal | None:
    length = len(request.scope.get("raw_path") or b"") + len(request.scope["query_string"])
    if length <= LONGEST_ADDRESS:
        return None
    return Refusal(414, "That address is too long.")


def _foreign(request: Request, _: Door) -> Refusal | None:
    """Refuse what another page asks for (Fetch Metadata; OWASP, "Cross-Site Request Forgery").

    Browsers say where a request comes from in ``Sec-Fetch-Site``, over plain HTTP only for
    this machine's own addresses, and in ``Origin`` with whatever may change something.
    """
    said = request.headers.get("sec-fetch-site")
    if request.method not in SAFE:
        own = _is_own(request, said)
    elif request.scope["path"].startswith("/api/"):
        own = said in (None, "same-origin", "none")
    else:
        own = True
    return None if own else Refusal(403, "The studio answers only its own page.")


def _is_own(request: Request, said: str | None) -> bool:
    """Say whether a request that may change something comes from our own page, and says so."""
    if said not in (None, "same-origin"):
        return False
    origin = request.headers.get("origin")
    if origin is None and "referer" in request.headers:
        referrer = urlsplit(request.headers["referer"])
        origin = f"{referrer.scheme}://{referrer.netloc}"
    if origin is None:
        return said is not None
    return origin.lower() == f"http://{request.headers['host'].lower()}"


def _no_cookie(request: Request, door: Door) -> Refusal | None:
    if request.scope["path"] == ENTER and request.method in SAFE:
        return None
    if door.keys.knows(request.cookies.get(door.keys.cookie, "")):
        return None
    return Refusal(
        403, "This browser has not come in yet; use the link that the studio printed where it runs."
    )


CHECKS: tuple[Callable[[Request, Door], Refusal | None], ...] = (
    _wrong_host,
    _long_address,
    _foreign,
    _no_cookie,
)
"""Each looks at one thing; the first that objects is told."""


def _with_headers(send: Send) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in ALWAYS.items():
                headers.setdefault(name, value)
        await send(message)

    return sending
