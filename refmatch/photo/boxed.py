"""HEIC and AVIF, photos in a box of boxes (ISO/IEC 14496-12 and 23008-12); 10 bits are kept."""

from __future__ import annotations

import struct
from collections.abc import Iterator
from typing import Any

import numpy as np

from refmatch.errors import LibraryMissing
from refmatch.flag import Flag
from refmatch.photo.decoded import (
    GAIN_MAP,
    SEVERAL,
    Decoded,
    Samples,
    by_channels,
    check_size,
    gain_map,
    open_header,
    said_by,
)
from refmatch.photo.space import Space, by_code_points

# HEIC, the format of most phones.


def decode_heic(data: bytes, name: str) -> Decoded:
    """Decode the main picture of a HEIC file; its own turns and flips are already applied.

    Raises:
        PhotoError: high dynamic range (PQ or HLG), which has no fixed white.
        LibraryMissing: the HEIC library does not load.
    """
    try:
        import pillow_heif
    except ImportError as error:
        raise LibraryMissing("heic_library_missing") from error
    file = pillow_heif.open_heif(data, convert_hdr_to_8bit=False)
    width_px, height_px = file.size
    check_size(width_px, height_px, name)
    icc = file.info.get("icc_profile") or None
    space = None if icc else _stated_space(file.info.get("nclx_profile"), name)
    bits = int(file.info.get("bit_depth", 8))
    samples, kind = by_channels(np.asarray(file))
    flags = _flags(data, len(file))
    return Decoded(_full_range(samples, bits), kind, bits, icc, space, flags=flags)


def _stated_space(code_points: dict[str, Any] | None, name: str) -> Space | None:
    if not code_points:
        return None
    primaries, transfer = (
        int(code_points.get(of, 2)) for of in ("color_primaries", "transfer_characteristics")
    )
    return by_code_points(primaries, transfer, name)


def _full_range(samples: Samples, bits: int) -> Samples:
    """Repeat the top bits below the lowest, so that the top code of 10 bits is 65535."""
    if bits <= 8:
        return samples
    return np.bitwise_or(samples, samples >> np.uint16(bits))


def _flags(data: bytes, pictures: int) -> tuple[Flag, ...]:
    mapped = gain_map(data) or ((GAIN_MAP,) if b"tmap" in data[:HEAD_BYTES] else ())
    return (*mapped, *((SEVERAL,) if pictures > 1 else ()))


HEAD_BYTES = 65_536
"""The kinds of the pictures in a file stand within so many bytes of its start."""


# AVIF, its younger kin.


def decode_avif(data: bytes, name: str) -> Decoded:
    """Decode an AVIF, of a moving one the first picture, upright by its orientation.

    Raises:
        PhotoError: high dynamic range (PQ or HLG), which has no fixed white.
    """
    import imagecodecs
    from PIL import AvifImagePlugin

    header = open_header(AvifImagePlugin.AvifImageFile, data, name)
    properties = dict(_properties(data))
    said = said_by(header)
    colour = properties.get(b"colr", b"")
    if not said["icc"] and colour[:4] == b"nclx":
        primaries, transfer = struct.unpack(">HH", colour[4:8])
        said["stated_space"] = by_code_points(primaries, transfer, name)
    bits = max(properties.get(b"pixi", b"")[5:] or b"\x08")
    if header.n_frames > 1:  # the other decoder would decode them all
        bits, decoded = 8, np.asarray(header)
    else:
        decoded = imagecodecs.avif_decode(data)
    samples, kind = by_channels(decoded)
    if samples.dtype == np.uint16:
        samples = _full_range(np.left_shift(samples, np.uint16(16 - bits)), bits)
    return Decoded(samples, kind, bits, **said, flags=_flags(data, header.n_frames))


def _boxes(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Yield the kind and the content of each box that lies side by side in some bytes."""
    at = 0
    while at + 8 <= len(data):
        size, kind = struct.unpack_from(">I4s", data, at)
        head = 8
        if size == 1:
            (size,), head = struct.unpack_from(">Q", data, at + 8), 16
        size = size or len(data) - at  # 0: to the end
        if size < head:
            break
        yield kind, data[at + head : at + size]
        at += size


def _properties(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Yield the properties of the main picture by kind (ISO/IEC 23008-12, 9.3)."""
    meta = dict(_boxes(dict(_boxes(data)).get(b"meta", b"")[4:]))
    main, properties = meta.get(b"pitm", b""), dict(_boxes(meta.get(b"iprp", b"")))
    if not main or not {b"ipco", b"ipma"} <= set(properties):
        return
    known = list(_boxes(properties[b"ipco"]))
    wide = properties[b"ipma"][0] > 0  # its version: the width of a picture's number
    for number, places in _associations(properties[b"ipma"], wide):
        if number == int.from_bytes(main[4:], "big"):
            yield from (known[place - 1] for place in places if 0 < place <= len(known))


def _associations(box: bytes, wide: bool) -> Iterator[tuple[int, list[int]]]:
    """Yield each picture's number and the places of its properties, from 1."""
    size, step = (4 if wide else 2), (2 if box[3] & 1 else 1)
    (count,), at = struct.unpack_from(">I", box, 4), 8
    for _ in range(min(count, len(box))):
        number, many = int.from_bytes(box[at : at + size], "big"), box[at + size]
        at += size + 1
        ends = range(at, at + many * step, step)
        mask = 0x7FFF if step == 2 else 0x7F  # the top bit says whether it must be understood
        yield number, [int.from_bytes(box[end : end + step], "big") & mask for end in ends]
        at += many * step
