"""Who may come in: a launch token opens the door once, a cookie keeps it open.

The token stands in a link, and links are seen: by the list of running programs, by the
browser's history, by whoever looks at the screen. So it is good once, and what it is
traded for is another random value that no page, script or history ever shows.
"""

from __future__ import annotations

import hmac
import secrets
from dataclasses import dataclass, field

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
        found = _find(token, self._tokens)
        if found is None:
            return None
        self._tokens.discard(found)
        value = secrets.token_urlsafe(BYTES)
        self._given.add(value)
        return value

    def knows(self, value: str) -> bool:
        """Say whether a cookie of this value was given."""
        return _find(value, self._given) is not None


def _find(offered: str, known: set[str]) -> str | None:
    """Compare with every known value, so that the time taken tells nothing of any."""
    found = None
    for value in known:
        if hmac.compare_digest(offered.encode(), value.encode()):
            found = value
    return found
