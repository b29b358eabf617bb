"""The one door to measurement files of any kind."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple, Protocol

from refmatch.errors import MeasurementError
from refmatch.paint.instrument import cgats, cxf
from refmatch.paint.instrument.reading import Measurements

MOST_BYTES = 64_000_000
"""Ten thousand samples at 1 nm; a longer file is no painter's."""


class _Read(Protocol):
    def __call__(self, data: bytes, where: str, specular: str = "") -> Measurements: ...


class Reader(NamedTuple):
    """One kind of file: whether some bytes are of it, and what they say."""

    recognises: Callable[[bytes], bool]
    read: _Read


READERS: dict[str, Reader] = {
    "CxF/X (ISO 17972)": Reader(cxf.recognises, cxf.read),
    "CGATS.17 (ISO 28178)": Reader(cgats.recognises, cgats.read),
}
"""Every kind of file that can be read, by its standard."""


def read_measurements(path: Path, specular: str = "") -> Measurements:
    """Return the readings of a file, whichever kind its content shows it to be.

    Args:
        path: the file.
        specular: "included" or "excluded": which spectrum to take where a file holds
            both of each sample; empty takes what there is, if there is only one.

    Raises:
        MeasurementError: it is not there, of no known kind, or cannot be used;
            with the line in a text file.
    """
    where = str(path)
    data = _bytes(Path(path))
    for reader in READERS.values():
        if reader.recognises(data):
            return reader.read(data, where, specular)
    raise MeasurementError("measurement_file_of_unknown_kind", path=where, kinds=tuple(READERS))


def _bytes(path: Path) -> bytes:
    try:
        with path.open("rb") as stream:
            data = stream.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = (getattr(error, "strerror", None) or "no such name").lower()
        raise MeasurementError(
            "measurement_file_not_read", path=str(path), reason=reason
        ) from error
    if len(data) > MOST_BYTES:
        raise MeasurementError("measurement_file_too_large", path=str(path), most_bytes=MOST_BYTES)
    return data
