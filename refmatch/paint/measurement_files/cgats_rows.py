"""The rows of one CGATS.17 table as readings."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from refmatch.colorimetry.spectrum import Array
from refmatch.flag import Flag
from refmatch.paint.measurement_files import scale
from refmatch.paint.measurement_files.cgats_fields import Columns, columns
from refmatch.paint.measurement_files.cgats_tables import Row, Table
from refmatch.paint.measurement_files.grid import grid
from refmatch.paint.measurement_files.limits import (
    MOST_REFLECTANCE,
    below_zero_flags,
    checked_lab,
    checked_spectrum,
    lab_of_xyz,
)
from refmatch.paint.measurement_files.model import Reading, at_line, complaint
from refmatch.paint.measurement_files.number import number


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
        factor = scale.factor(raw, where.scale, place)
        to_bands = grid(nm, place)
        bands, below = [], []
        for row, values in zip(table.rows, raw * factor, strict=True):
            checked = checked_spectrum(values, nm, at_line(row.line, self.where))
            bands.append(to_bands.bands(checked))
            below += [self._name(row, where)] if values.min() < 0.0 else []
        flags = (*scale.flags(raw, where.scale), *to_bands.flags, *below_zero_flags(below))
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
