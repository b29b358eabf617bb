"""Reads measurements from CGATS.17 / ISO 28178 text."""

from __future__ import annotations

import re

from refmatch.flag import Flag
from refmatch.paint.measurement_files import stated
from refmatch.paint.measurement_files.cgats_rows import TableRead, TableReader
from refmatch.paint.measurement_files.cgats_tables import Table, read_tables
from refmatch.paint.measurement_files.gather import gathered
from refmatch.paint.measurement_files.model import Measurements, at_line, complaint, in_file
from refmatch.paint.measurement_files.text import decoded, lines

BEGINS_DATA = re.compile(r"(^|[\r\n])\s*(BEGIN_DATA|BEGIN_DATA_FORMAT|CGATS\.\d+)\b", re.IGNORECASE)


def recognises(data: bytes) -> bool:
    """Say whether the bytes are such text."""
    return bool(BEGINS_DATA.search(decoded(data)))


def read(data: bytes, where: str, specular: str = "") -> Measurements:
    """Return all samples of all tables; ``where`` names the file.

    Such a file has one geometry, so ``specular`` chooses nothing here.

    Raises:
        MeasurementError: with the line.
    """
    tables = read_tables(lines(decoded(data)), where)
    filled = [table for table in tables if table.rows]
    if not filled:
        raise complaint("no_samples", in_file(where))
    header = [keyword for table in filled for keyword in table.keywords]
    light = (stated.illuminant(header), stated.observer(header))
    reader = TableReader(where, *light)
    found = [reader.read(table) for table in filled]
    _refuse_two_scales(found, filled, where)
    readings = [reading for each in found for reading in each.readings]
    flags: list[Flag] = [flag for each in found for flag in each.flags]
    return gathered(
        Measurements(tuple(readings), *light, stated.specular(header), tuple(flags)), where
    )


def _refuse_two_scales(found: list[TableRead], tables: list[Table], where: str) -> None:
    """Refuse a file whose tables, by their values alone, would be on different scales."""
    guessed = [
        (each.guessed_factor, table.line)
        for each, table in zip(found, tables, strict=True)
        if each.guessed_factor is not None
    ]
    for factor, line in guessed[1:]:
        if factor != guessed[0][0]:
            raise complaint(
                "tables_on_two_scales",
                at_line(line, where),
                percent=factor != 1.0,
                first_line=guessed[0][1],
            )
