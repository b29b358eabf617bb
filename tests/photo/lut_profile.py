"""A small ICC profile whose colours are a table, as scanners and printers have them."""

from __future__ import annotations

import itertools
import struct
from collections.abc import Callable

import numpy as np

LabOfDevice = Callable[[np.ndarray], np.ndarray]


def lut_profile(space: bytes, channels: int, lab_of: LabOfDevice, grid: int = 9) -> bytes:
    """Build an ICC version 2 input profile with one A2B0 table of 16-bit Lab.

    ``lab_of`` gives the Lab of device values 0 to 1 at each node of the grid.
    Source of the layout: ICC.1:2001-04, 6.1 (header), 6.5.8 (lut16Type) and
    6.5.8's Lab encoding (L* 100 is FF00, a* and b* 0 are 8000).
    """
    nodes = np.array(list(itertools.product(np.linspace(0.0, 1.0, grid), repeat=channels)))
    codes = np.rint(
        np.array([lab_of(node) for node in nodes]) * [652.8, 256, 256] + [0, 32768, 32768]
    )
    table = np.clip(codes, 0, 65535).astype(">u2").tobytes()
    straight = struct.pack(">2H", 0, 65535)
    unit = struct.pack(">9i", *(np.eye(3, dtype=int) * 65536).ravel())
    lut = b"mft2\0\0\0\0" + bytes([channels, 3, grid, 0]) + unit + struct.pack(">2H", 2, 2)
    lut += straight * channels + table + straight * 3
    text = b"Orchard table"
    tags = {
        b"desc": b"desc\0\0\0\0" + struct.pack(">I", len(text) + 1) + text + bytes(1 + 78),
        b"wtpt": b"XYZ \0\0\0\0" + struct.pack(">3i", 63190, 65536, 54061),
        b"cprt": b"text\0\0\0\0none\0",
        b"A2B0": lut,
    }
    return _with_header(space, tags)


def _with_header(space: bytes, tags: dict[bytes, bytes]) -> bytes:
    entries, body = b"", b""
    start = 128 + 4 + 12 * len(tags)
    for name, data in tags.items():
        entries += name + struct.pack(">2I", start + len(body), len(data))
        body += data + bytes(-len(data) % 4)
    size = start + len(body)
    header = struct.pack(">I4sI4s4s4s", size, b"\0" * 4, 0x02400000, b"scnr", space, b"Lab ")
    header += bytes(12) + b"acsp" + bytes(28) + struct.pack(">3i", 63190, 65536, 54061)
    return header.ljust(128, b"\0") + struct.pack(">I", len(tags)) + entries + body
