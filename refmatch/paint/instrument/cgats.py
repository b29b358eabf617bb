"""Reads measurements from CGATS.17 / ISO 28178 text."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.flag import Flag
from refmatch.paint.instrument.cgats_fields import Columns, columns, scale_factor, scale_flags
from refmatch.paint.instrument.cgats_tables import Keyword, Row, Table, read_tables
from refmatch.paint.instrument.grid import grid
from refmatch.paint.instrument.reading import (
    MOST_REFLECTANCE,
    OBSERVERS,
    Measurements,
    Reading,
    at_line,
    below_zero_flags,
    checked_lab,
    checked_spectrum,
    complaint,
    decoded,
    gathered,
    in_file,
    lab_of_xyz,
    lines,
    number,
)

# The rows of one CGATS.17 table as readings.


@dataclass(frozen=True, eq=False)
class TableRead:
    """What one table gave; ``guessed_factor`` is its spectra's scale where no field names it."""

    readings: tuple[Reading, ...]
    guessed_factor: float | None
    flags: tuple[Flag, ...]


@dataclass(frozen=True)
class TableReader:
    """Reads a table: the file's name for complaints, and the light its colours are under."""

    where: str
    illuminant: str
    observer: str

    def read(self, table: Table) -> TableRead:
        """Return the table's readings.

        Raises:
            MeasurementError: with the line.
        """
        where = columns(table.fields, at_line(table.line, self.where))
        spectra, guessed, flags = self._spectra(table, where)
        readings = tuple(
            Reading(
                sample_id=self._name(row, where),
                reflectance=None if spectra is None else spectra[index],
                lab=self._lab(row, table, where, needed=spectra is None),
                line=row.line,
                name="" if where.name is None else row.cells[where.name],
            )
            for index, row in enumerate(table.rows)
        )
        return TableRead(readings, guessed, flags)

    def _spectra(
        self, table: Table, where: Columns
    ) -> tuple[Array | None, float | None, tuple[Flag, ...]]:
        """Return spectra on the 31 bands (rows, 31), their guessed scale, and cautions."""
        if not where.spectrum:
            return None, None, ()
        place = at_line(table.line, self.where)
        nm = self._wavelengths(table, where)
        ordered = np.argsort(nm)
        nm = nm[ordered]
        raw = np.stack([self._numbers(row, table, where.spectrum) for row in table.rows])
        raw = raw[:, ordered]
        factor = scale_factor(raw, where.scale, place)
        to_bands = grid(nm, place)
        bands, below = [], []
        for row, values in zip(table.rows, raw * factor, strict=True):
            checked = checked_spectrum(values, nm, at_line(row.line, self.where))
            bands.append(to_bands.bands(checked))
            below += [self._name(row, where)] if values.min() < 0.0 else []
        flags = (*scale_flags(raw, where.scale), *to_bands.flags, *below_zero_flags(below))
        return np.stack(bands), None if where.scale else factor, flags

    def _wavelengths(self, table: Table, where: Columns) -> Array:
        """Return the wavelengths of the spectra, the same for all rows, as they stand."""
        if not where.wavelength_columns:
            return np.array(where.wavelengths_nm)
        first = self._numbers(table.rows[0], table, where.wavelength_columns)
        for row in table.rows[1:]:
            if not np.array_equal(self._numbers(row, table, where.wavelength_columns), first):
                raise complaint(
                    "other_wavelengths",
                    at_line(row.line, self.where),
                    first_line=table.rows[0].line,
                )
        return first

    def _lab(self, row: Row, table: Table, where: Columns, needed: bool) -> Array | None:
        """Return the row's Lab; XYZ serves only where there is neither Lab nor spectrum."""
        place = at_line(row.line, self.where)
        if where.lab:
            return checked_lab(self._numbers(row, table, where.lab), place)
        if where.xyz and needed:
            self._refuse_small_xyz(table, where)
            xyz = self._numbers(row, table, where.xyz)
            return lab_of_xyz(xyz, self.illuminant, self.observer, place)
        return None

    def _refuse_small_xyz(self, table: Table, where: Columns) -> None:
        """Refuse XYZ that may be on a scale of Y = 1: nothing in the file says which it is."""
        most = max(self._numbers(row, table, where.xyz)[1] for row in table.rows)
        if most <= MOST_REFLECTANCE:
            raise complaint("xyz_scale_unknown", at_line(table.line, self.where), most=float(most))

    def _numbers(self, row: Row, table: Table, at: tuple[int, ...]) -> Array:
        values = [number(row.cells[column]) for column in at]
        if None in values:
            column = at[values.index(None)]
            raise complaint(
                "field_without_number",
                at_line(row.line, self.where),
                cell=row.cells[column],
                field=table.fields[column],
            )
        return np.array(values, dtype=float)

    def _name(self, row: Row, where: Columns) -> str:
        for column in (where.sample_id, where.name):
            if column is not None and row.cells[column].strip():
                return row.cells[column].strip()
        raise complaint("row_without_sample", at_line(row.line, self.where))


# What the header of a CGATS.17 file states of light, observer and geometry.

FIRST_ASKED = ("WEIGHTING_FUNCTION", "ILLUMINANT", "ILLUMINATION_NAME", "OBSERVER")
"""Keywords that speak of the computation, asked before those that may mean the lamp."""

ILLUMINANT = re.compile(
    r"ILLUMIN(?:ANT|ATION)(?:_NAME)?\W+(D\d\d|[ABCE]|FL?\d{1,2}|LED-\w+|TL8\d)(?!\w)"
)
OBSERVER = re.compile(r"OBSERVER[_ ]?(?:ANGLE)?\W+(?:CIE\W+)?(1931|1964)?\W*(10|2)?(?!\d)")
BOTH = re.compile(r"\b(D\d\d)\s*/\s*(10|2)(?!\d)")
"""The short form "D50/2", common practice."""

GEOMETRY = {
    "included": re.compile(r"\b(SCI|RSIN|SPIN|DI:8|D:8I|8:DI)\b|SPECULAR[\W_]*INCLUDED"),
    "excluded": re.compile(
        r"\b(SCE|RSEX|SPEX|DE:8|D:8E|8:DE)\b|SPECULAR[\W_]*EXCLUDED|"
        r"\b45°?[A-Z]?[/:]0|\b0°?[/:]45"
    ),
}
"""How a geometry is written (CIE 015:2018, section 5: de:8, di:8, 45x:0; others common
practice, no source). 45/0 does not see the shine."""


def illuminant(header: Sequence[Keyword]) -> str:
    """Return the illuminant that colours were reckoned for, or nothing."""
    matches = (ILLUMINANT.search(text) or BOTH.search(text) for text in _texts(header))
    return next((match[1] for match in matches if match), "")


def observer(header: Sequence[Keyword]) -> str:
    """Return the standard observer that colours were reckoned for, or nothing."""
    for text in _texts(header):
        match = OBSERVER.search(text)
        if match and (match[1] or match[2]):
            degrees = {"1931": "2", "1964": "10"}.get(match[1] or "", match[2])
            return OBSERVERS[degrees]
        if both := BOTH.search(text):
            return OBSERVERS[both[2]]
    return ""


def stated_specular(header: Sequence[Keyword]) -> str:
    """Return "included" or "excluded" where the geometry says so, or nothing."""
    said = " ".join(
        text for text in _texts(header) if "GEOMETRY" in text or text.startswith("SPECULAR")
    )
    ways = [way for way, written in GEOMETRY.items() if written.search(said)]
    return ways[0] if len(ways) == 1 else ""


def _texts(header: Sequence[Keyword]) -> list[str]:
    ordered = sorted(header, key=lambda each: each.key not in FIRST_ASKED)
    return [f"{each.key} {each.value}".upper() for each in ordered]


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
    light = (illuminant(header), observer(header))
    reader = TableReader(where, *light)
    reads = [reader.read(table) for table in filled]
    _refuse_two_scales(reads, filled, where)
    readings = [reading for each in reads for reading in each.readings]
    flags: list[Flag] = [flag for each in reads for flag in each.flags]
    return gathered(
        Measurements(tuple(readings), *light, stated_specular(header), tuple(flags)), where
    )


def _refuse_two_scales(reads: list[TableRead], tables: list[Table], where: str) -> None:
    """Refuse a file whose tables, by their values alone, would be on different scales."""
    guessed = [
        (read.guessed_factor, table.line)
        for read, table in zip(reads, tables, strict=True)
        if read.guessed_factor is not None
    ]
    for factor, line in guessed[1:]:
        if factor != guessed[0][0]:
            raise complaint(
                "tables_on_two_scales",
                at_line(line, where),
                percent=factor != 1.0,
                first_line=guessed[0][1],
            )
