"""Running the server in this process, from the first link to Ctrl-C."""

from __future__ import annotations

import asyncio
import contextlib
import importlib
import ipaddress
import logging
import os
import socket
import sys
import threading
import time
import webbrowser
from collections.abc import Callable
from dataclasses import dataclass
from urllib.parse import urlencode

import uvicorn

from refmatch.errors import UsageError
from refmatch.web.app import make_app
from refmatch.web.checking import Checkings
from refmatch.web.events import Streams
from refmatch.web.guard import ENTER, Door, Keys
from refmatch.web.shelf import Shelf
from refmatch.web.strangers import LOOPBACK, Protocol

NOWHERE = ("192.0.2.1", 9)
"""An address for documentation (RFC 5737), so that none is asked: nothing is sent there."""

WARNING = (
    "The link is not encrypted: anyone on this network could look on while you paint. "
    "Share only on a network you trust."
)

BLACK_ON_WHITE, PLAIN = "\x1b[30;107m", "\x1b[0m"
"""Both colours are set, so that a camera reads the code on light and dark terminals alike."""

QUIET = 4
"""Modules of white all around (ISO/IEC 18004)."""

BLOCKS = {(0, 0): " ", (1, 0): "▀", (0, 1): "▄", (1, 1): "█"}
"""Two rows of the code in one of text: upper and lower module, 1 for dark."""


def local_address() -> str:
    """Return this machine's address on the local network.

    The system is asked which of its addresses it would send from; a datagram socket
    can be connected without anything being sent.

    Raises:
        UsageError: there is no network, or the address is one that the whole internet may reach.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        try:
            asking.connect(NOWHERE)
            address = str(asking.getsockname()[0])
        except OSError as error:
            raise UsageError("no_network") from error
    return checked(address)


def checked(address: str) -> str:
    """Return an address that may be shared on.

    Raises:
        UsageError: it leads nowhere, or out into the internet.
    """
    known = ipaddress.ip_address(address)
    if known.is_loopback or known.is_unspecified:
        raise UsageError("no_network")
    if known.is_global:
        raise UsageError("address_on_the_internet", address=address)
    return address


def qr_blocks(link: str) -> str:
    """Return a link as a QR code (ISO/IEC 18004) for the terminal, a line of text for two rows."""
    import segno

    code = segno.make_qr(link, error="m", boost_error=False)
    rows = [tuple(row) for row in code.matrix_iter(border=QUIET)]
    if len(rows) % 2:
        rows.append((0,) * len(rows[0]))
    lines = []
    for upper, lower in zip(rows[::2], rows[1::2], strict=True):
        blocks = "".join(BLOCKS[pair] for pair in zip(upper, lower, strict=True))
        lines.append(f"{BLACK_ON_WHITE}{blocks}{PLAIN}")
    return "\n".join(lines)


def can_show(stream_encoding: str | None, is_terminal: bool) -> bool:
    """Say whether a QR code can be shown there: on a terminal whose letters have the blocks."""
    try:
        "".join(BLOCKS.values()).encode(stream_encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return is_terminal


# Loading what is slow to load before the painter first needs it.

SLOW = (
    "cv2",
    "imagecodecs",
    "refmatch.photo.masses",
    "reportlab.pdfgen.canvas",
    "refmatch.sheet.pdf",
    "pypdfium2",
)
"""Modules that a first answer would wait for, in the order they are wanted."""

FIRST_S = 2.0
"""The page comes first: so long nothing else is loaded."""


def warm_up(after_s: float = FIRST_S) -> None:
    """Import the slow modules; one that is not there is told when it is wanted."""
    time.sleep(after_s)
    for name in SLOW:
        with contextlib.suppress(ImportError):
            importlib.import_module(name)


HTTP_PORT = 80
PATIENCE_S = 3
"""How long an answer under way may still take when the studio ends."""

LONGEST_HEAD = 32 * 1024
"""Bytes of a request's first line and headers."""


@dataclass(frozen=True)
class Serving:
    """How the studio is served: on which port (0 for any), to whom, and what it opens with.

    ``painting`` is the key of the painting to open, "" for the start.
    """

    port: int = 0
    shared: bool = False
    opens_browser: bool = True
    painting: str = ""


class Studio:
    """The server and its door; it gives links, and says where it stands."""

    def __init__(self, shelf: Shelf, serving: Serving) -> None:
        """Take the addresses, so that what is wrong with them is said at once.

        Raises:
            UsageError: the port is taken, or there is no network to share on.
        """
        self.serving = serving
        self.sockets = listeners(serving)
        self.hosts = [self._host(socket) for socket in self.sockets]
        port = self.sockets[0].getsockname()[1]
        self.keys = Keys(f"refmatch-{port}")
        self.streams = Streams()
        names = frozenset((*self.hosts, self.hosts[0].replace(LOOPBACK, "localhost")))
        self.checkings = Checkings()
        self.ends = self.streams.close, self.checkings.put_away
        self.app = make_app(shelf, Door(names, self.keys), self.streams, self.checkings)

    def link(self, host: str) -> str:
        """Return a new link to come in by, good once."""
        query = {"token": self.keys.new_token()}
        if self.serving.painting:
            query["painting"] = self.serving.painting
        return f"http://{host}{ENTER}?{urlencode(query)}"

    def say_link(self) -> None:
        """Print a link that has not been used yet; shared, with its QR code."""
        link = self.link(self.hosts[-1])
        if self.serving.shared and can_show(sys.stdout.encoding, sys.stdout.isatty()):
            print(qr_blocks(link))
        print(f"The studio is open at {link}", flush=True)

    def run(self) -> None:
        """Serve until Ctrl-C."""
        with contextlib.suppress(KeyboardInterrupt):
            _Server(self.config(), self._begin, *self.ends).run(sockets=self.sockets)

    def config(self) -> uvicorn.Config:
        """Return how the application is served."""
        return uvicorn.Config(
            self.app,
            http=Protocol,
            ws="none",
            lifespan="off",
            log_level="error",
            access_log=False,
            server_header=False,
            h11_max_incomplete_event_size=LONGEST_HEAD,
            timeout_graceful_shutdown=PATIENCE_S,
        )

    def _begin(self) -> None:
        """Say where it is, once it is there; everything slow goes on behind."""
        if self.serving.shared:
            print(WARNING)
        self.say_link()
        print(
            "The link is good once. Ctrl-C ends the studio; all that you did is saved.", flush=True
        )
        if sys.stdin is not None and sys.stdin.isatty():
            print("Press Enter for another link.", flush=True)
            _behind(_hear_enter, self.say_link)
        if self.serving.opens_browser:
            _behind(webbrowser.open, self.link(self.hosts[0]))
        _behind(warm_up)

    @staticmethod
    def _host(listener: socket.socket) -> str:
        """Return the address as a browser writes it in ``Host``."""
        address, port = listener.getsockname()
        return str(address) if port == HTTP_PORT else f"{address}:{port}"


class _Unsaid(logging.Filter):
    """Lets no word through of answers that are cut off at the end: the painter stopped them."""

    def filter(self, record: logging.LogRecord) -> bool:
        kind = record.exc_info[0] if record.exc_info else None
        is_cut_off = kind is not None and issubclass(kind, asyncio.CancelledError)
        return not is_cut_off and "timeout graceful shutdown exceeded" not in str(record.msg)


_UNSAID = _Unsaid()


class _Server(uvicorn.Server):
    """A server that tells when it has begun, and ends the endless answers before it stops.

    ``ended`` is called when nobody is answered any more: a signal may end the process after that.
    """

    def __init__(
        self,
        config: uvicorn.Config,
        began: Callable[[], None],
        ends: Callable[[], None],
        ended: Callable[[], None],
    ) -> None:
        super().__init__(config)
        logging.getLogger("uvicorn.error").addFilter(_UNSAID)
        self._began, self._ends, self._ended = began, ends, ended

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        self._began()

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        self._ends()
        await super().shutdown(sockets)
        self._ended()


def listeners(serving: Serving) -> list[socket.socket]:
    """Return sockets bound to this machine's own address, and where shared to its network's too.

    Both have the same port. No other network that the machine is on is served.

    Raises:
        UsageError: the port is taken or not allowed, or there is no network to share on.
    """
    first = _bound(LOOPBACK, serving.port)
    if not serving.shared:
        return [first]
    try:
        return [first, _bound(local_address(), first.getsockname()[1])]
    except UsageError:
        first.close()
        raise


def _bound(address: str, port: int) -> socket.socket:
    # Told to be TCP, it sends each answer at once; else the system holds one back for 40 ms.
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    if os.name == "posix":  # elsewhere it would let two programs share a port
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((address, port))
    except OSError as error:
        listener.close()
        reason = (error.strerror or "unknown reason").lower()
        raise UsageError("port_not_served", address=address, port=port, reason=reason) from error
    return listener


def _behind(work: Callable[..., object], *given: object) -> None:
    threading.Thread(target=work, args=given, daemon=True).start()


def _hear_enter(act: Callable[[], None]) -> None:
    """Act whenever Enter is pressed; read past Python's own buffer, which a thread may not hold."""
    with contextlib.suppress(OSError):
        while os.read(sys.stdin.fileno(), 1024):
            act()
