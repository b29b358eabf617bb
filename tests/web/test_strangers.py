"""A stranger on the network, idle or slow, is hung up on and never keeps the painter out.

Over real sockets: 127.0.0.1 is this machine's own address, 127.0.0.2 stands in for the network's.
What a slow client may do: OWASP Web Security Testing Guide, "Testing for Denial of Service";
slow heads and slow bodies as in CAPEC-469.
"""

from __future__ import annotations

import contextlib
import socket
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import httpx
import pytest

from refmatch.web import serve, strangers
from refmatch.web.guard import ENTER
from refmatch.web.serve import Serving, Studio
from refmatch.web.shelf import Shelf

LIMIT_S = 0.5
PATIENCE_S = 60.0


class Shared:
    """A shared studio in a thread, and whoever connects to it."""

    def __init__(self, folder: Path) -> None:
        self.studio = Studio(Shelf(folder), Serving(shared=True, opens_browser=False))
        self.own, self.network = self.studio.hosts
        self.crowd: list[socket.socket] = []
        self.clients: list[httpx.Client] = []
        self.server = serve._Server(self.studio.config(), lambda: None, *self.studio.ends)
        self.thread = threading.Thread(
            target=self.server.run, kwargs={"sockets": self.studio.sockets}, daemon=True
        )
        self.thread.start()
        while not self.server.started:
            time.sleep(0.01)

    def connect(self, to: str, says: bytes = b"") -> socket.socket:
        host, _, port = to.partition(":")
        stranger = socket.create_connection((host, int(port)), timeout=PATIENCE_S)
        stranger.sendall(says)
        self.crowd.append(stranger)
        return stranger

    def browser(self, host: str) -> httpx.Client:
        """A browser that comes in by a link."""
        client = httpx.Client(base_url=f"http://{host}", timeout=PATIENCE_S)
        self.clients.append(client)
        assert client.get(self.studio.link(host)).status_code == 200
        return client

    def stop(self) -> None:
        for other in (*self.crowd, *self.clients):
            other.close()
        self.server.should_exit = True
        self.thread.join(timeout=PATIENCE_S)


@pytest.fixture
def shared(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Shared]:
    monkeypatch.setattr(serve, "local_address", lambda: "127.0.0.2")
    running = Shared(tmp_path)
    yield running
    running.stop()


@pytest.fixture
def soon(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every wait ends soon."""
    monkeypatch.setattr(strangers, "HEAD_S", LIMIT_S)
    monkeypatch.setattr(strangers, "BODY_S", LIMIT_S)


def hung_up(stranger: socket.socket) -> bool:
    """Wait until the other end hangs up; whatever it says before is read."""
    try:
        while stranger.recv(4096):
            pass
    except ConnectionResetError:
        return True
    except TimeoutError:
        return False
    return True


HEAD = b"POST /api/paintings?name=a.jpg HTTP/1.1\r\nHost: %s\r\n"


@pytest.mark.parametrize(
    "says",
    [
        b"",
        b"GET / HT",
        b"GET / HTTP/1.1\r\nHost: x\r\nX-A: ",
        HEAD + b"Content-Length: 100\r\n\r\nabc",
        HEAD + b"Transfer-Encoding: chunked\r\n\r\n3\r\nabc\r\n",
    ],
    ids=["nothing", "half a line", "half a head", "half a body", "an endless body"],
)
@pytest.mark.parametrize("side", ["own", "network"])
@pytest.mark.usefixtures("soon")
def test_who_stops_in_the_middle_is_hung_up_on(shared: Shared, says: bytes, side: str) -> None:
    host = getattr(shared, side)
    assert hung_up(shared.connect(host, says.replace(b"%s", host.encode())))


@pytest.mark.usefixtures("soon")
def test_a_head_of_a_letter_at_a_time_is_hung_up_on(shared: Shared) -> None:
    slow = shared.connect(shared.network, b"GET / HTTP/1.1\r\nX-Slow: ")
    slow.settimeout(LIMIT_S / 10.0)
    for _ in range(round(PATIENCE_S / LIMIT_S) * 10):
        try:
            slow.sendall(b"a")
            if not slow.recv(1):
                return
        except TimeoutError:
            continue
        except OSError:
            return
    pytest.fail("it is waited for without end")


def _in_spite_of_hanging_up(ask: Callable[[], httpx.Response]) -> httpx.Response:
    """Ask as a browser does: again, where the line was cut before an answer."""
    for _ in range(5):
        with contextlib.suppress(httpx.RemoteProtocolError, httpx.ReadError):
            return ask()
    return ask()


def test_a_crowd_that_says_nothing_keeps_nobody_out(
    shared: Shared, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(strangers, "HEAD_S", 600.0)
    monkeypatch.setattr(strangers, "FRESH_S", 0.0)
    inside = shared.browser(shared.network)
    assert inside.get("/api/start").is_success  # by the link it came in; now it is known
    for _ in range(3 * strangers.MOST_STRANGERS):
        shared.connect(shared.network)
    assert _in_spite_of_hanging_up(lambda: inside.get("/api/start")).is_success
    for host in (shared.own, shared.network):
        came = _in_spite_of_hanging_up(lambda host=host: shared.browser(host).get("/api/start"))
        assert came.is_success
    connections = shared.server.server_state.connections
    crowd = [each for each in list(connections) if each.is_stranger]  # type: ignore[union-attr]
    assert len(crowd) <= strangers.MOST_FROM_ONE


def test_a_class_behind_one_router_comes_in_at_once(shared: Shared) -> None:
    """Two connections of each of 32 tablets, all from one address, are there before any speaks."""
    crowd = [shared.connect(shared.network) for _ in range(4 * strangers.MOST_FROM_ONE)]
    for tablet in crowd:
        tablet.sendall(b"GET / HTTP/1.1\r\nHost: %s\r\n\r\n" % shared.network.encode())
    assert all(tablet.recv(12) == b"HTTP/1.1 403" for tablet in crowd)


def test_a_browser_that_came_in_may_be_idle_with_a_stream_open(
    shared: Shared, monkeypatch: pytest.MonkeyPatch
) -> None:
    inside, origin = shared.browser(shared.network), {"origin": f"http://{shared.network}"}
    monkeypatch.setattr(strangers, "HEAD_S", 4.0 * LIMIT_S)
    made = inside.post("/api/paintings?sample=dab-board", headers=origin).json()
    painting = f"/api/paintings/{made['id']}"
    revision = inside.get(painting).json()["revision"]
    with inside.stream("GET", f"{painting}/events") as stream:
        lines = stream.iter_lines()
        assert next(lines).startswith("retry:")
        monkeypatch.setattr(strangers, "FRESH_S", 0.0)
        time.sleep(5.0 * LIMIT_S)
        for _ in range(2 * strangers.MOST_FROM_ONE):
            shared.connect(shared.network)
        title = {"revision": revision, "do": "title", "title": "Still here"}
        assert inside.post(f"{painting}/changes", json=title, headers=origin).is_success
        assert any('"revision":' in line for line in lines)


def test_without_the_link_there_is_nothing_but_the_door(shared: Shared) -> None:
    with httpx.Client(base_url=f"http://{shared.network}", timeout=PATIENCE_S) as stranger:
        pages = {
            stranger.get(path).text
            for path in ("/", "/static/app.js", "/static/style/tokens.css", "/no-such", "/docs")
        }
        assert len(pages) == 1
        (door,) = pages
        assert "<script" not in door
        for path in ("/api/start", "/api/paintings/1", "/api/no-such"):
            answer = stranger.get(path)
            assert answer.status_code == 403
            assert list(answer.json()) == ["error"]
        assert stranger.get(f"{ENTER}?token=guess").status_code == 403
