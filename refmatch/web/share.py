"""Sharing the studio with a tablet or a phone on the same network."""

from __future__ import annotations

import ipaddress
import socket

from refmatch.errors import UsageError

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
