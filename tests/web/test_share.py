"""The QR code is one that any reader reads, on any terminal; the address is the local network's."""

from __future__ import annotations

import re
import socket

import cv2
import numpy as np
import pytest

from refmatch.cli.remedies import REMEDIES
from refmatch.errors import UsageError
from refmatch.web import serve
from refmatch.web.serve import Serving, listeners
from refmatch.web.strangers import LOOPBACK
from tests.refusals import refused

LINK = "http://192.168.178.23:49152/enter?token=1ADDXZZ9sU1Yh8y8l0vKQ2r-6mY0oUuVb6m3xq9Gq0w"
MODULE_PX = 6


def seen_by_a_camera(blocks: str) -> np.ndarray:
    """Draw the terminal's text as the terminal would: two modules in each letter's place."""
    lines = [re.sub(r"\x1b\[[\d;]*m", "", line) for line in blocks.splitlines()]
    pairs = {block: pair for pair, block in serve.BLOCKS.items()}
    rows = []
    for line in lines:
        rows.append([pairs[letter][0] for letter in line])
        rows.append([pairs[letter][1] for letter in line])
    dark = np.array(rows, dtype=np.uint8).repeat(MODULE_PX, 0).repeat(MODULE_PX, 1)
    return np.where(dark, 0, 255).astype(np.uint8)


def test_the_code_is_read_by_a_reader_of_another_make() -> None:
    """OpenCV's QR reader, an implementation of ISO/IEC 18004 of its own."""
    picture = seen_by_a_camera(serve.qr_blocks(LINK))
    text, _, _ = cv2.QRCodeDetector().detectAndDecode(picture)
    assert text == LINK


def test_every_line_sets_both_colours_so_that_dark_terminals_show_it_too() -> None:
    for line in serve.qr_blocks(LINK).splitlines():
        assert line.startswith("\x1b[30;107m")
        assert line.endswith("\x1b[0m")


def test_it_is_bare_enough_for_a_usual_terminal() -> None:
    lines = serve.qr_blocks(LINK).splitlines()
    assert len(lines) <= 30
    assert len(lines[0]) <= 80


def test_the_code_has_its_quiet_zone() -> None:
    """ISO/IEC 18004: four modules of white on every side."""
    picture = seen_by_a_camera(serve.qr_blocks(LINK))
    rim = 4 * MODULE_PX
    for side in (picture[:rim], picture[-rim:], picture[:, :rim], picture[:, -rim:]):
        assert (side == 255).all()


@pytest.mark.parametrize(
    ("encoding", "terminal", "shown"),
    [("utf-8", True, True), ("utf-8", False, False), ("ascii", True, False), (None, True, False)],
)
def test_it_is_shown_only_where_it_can_be(encoding: str, terminal: bool, shown: bool) -> None:
    assert serve.can_show(encoding, terminal) is shown


@pytest.mark.parametrize("address", ["192.168.1.20", "10.0.0.7", "172.16.3.4", "169.254.10.1"])
def test_addresses_of_a_local_network_are_shared_on(address: str) -> None:
    """RFC 1918 (private) and RFC 3927 (link-local)."""
    assert serve.checked(address) == address


@pytest.mark.parametrize("address", ["8.8.8.8", "127.0.0.1", "0.0.0.0"])
def test_others_are_not(address: str) -> None:
    with pytest.raises(UsageError):
        serve.checked(address)


def test_without_a_network_there_is_a_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    def no_network(*_: object) -> None:
        raise OSError(101, "Network is unreachable")

    monkeypatch.setattr(socket.socket, "connect", no_network)
    with refused(UsageError, match="without --share", remedies=REMEDIES):
        serve.local_address()


def test_it_is_served_on_this_machine_only_unless_shared() -> None:
    (listener,) = listeners(Serving())
    with listener:
        assert listener.getsockname()[0] == LOOPBACK


def test_shared_it_is_served_on_one_network_more(monkeypatch: pytest.MonkeyPatch) -> None:
    """127.0.0.2 stands in for the local network's address: it is this machine's own."""
    monkeypatch.setattr(serve, "local_address", lambda: "127.0.0.2")
    own, shared = listeners(Serving(shared=True))
    with own, shared:
        assert own.getsockname()[0] == LOOPBACK
        assert shared.getsockname() == ("127.0.0.2", own.getsockname()[1])


def test_a_port_that_is_taken_is_said_so() -> None:
    (listener,) = listeners(Serving())
    with listener:
        listener.listen()
        port = listener.getsockname()[1]
        with refused(UsageError, match=f"port {port}"):
            listeners(Serving(port=port))
