"""Damaged files: each is read, or refused in one sentence, never anything else."""

from __future__ import annotations

import random
from pathlib import Path

import colour_cxf
import numpy as np
import pytest

from refmatch.colorimetry.spectrum import WAVELENGTHS_NM
from refmatch.errors import MeasurementError
from refmatch.paint import measured_box as files
from refmatch.paint.instrument.sample_plan import read_plan
from refmatch.paint.measured_box import read_measurements
from refmatch.say.sentence import sentence_of
from tests.colorimetry.charts import patch_reflectances
from tests.paint.instrument.made import STANDARD_FORM, spectral_table
from tests.paint.instrument.test_plan import ORCHARD
from tests.refusals import refused

SAMPLE = Path(colour_cxf.__file__).parent / "tests" / "resources" / "sample.cxf"


def small_cxf() -> bytes:
    """Return the library's sample document with its first three objects."""
    whole = SAMPLE.read_bytes()
    fourth = whole.index(b'<cc:Object ObjectType="Target" Name="4"')
    return whole[:fourth] + whole[whole.index(b"</cc:ObjectCollection>") :]


WHOLE = {
    "lab.txt": STANDARD_FORM.encode(),
    "spectra.txt": spectral_table(patch_reflectances(), WAVELENGTHS_NM, digits=4).encode("utf-16"),
    "three.cxf": small_cxf(),
    "PLAN.csv": ORCHARD.encode(),
}


def read_or_refused(path: Path) -> bool:
    """Return whether the file was read; a refusal must be a sentence that names it."""
    try:
        if path.suffix == ".csv":
            assert read_plan(path).samples
            return True
        found = read_measurements(path)
    except MeasurementError as error:
        sentence = sentence_of(error)
        assert path.name in sentence
        assert sentence.endswith((".", "?"))
        assert sentence.isprintable()
        return False
    for each in found.readings:
        assert each.sample_id
        for values in (each.reflectance, each.lab):
            assert values is None or np.isfinite(values).all()
        assert each.reflectance is None or each.reflectance.min() >= 0.0
    return True


@pytest.mark.parametrize("name", WHOLE)
def test_a_file_cut_anywhere(name, tmp_path):
    data, path = WHOLE[name], tmp_path / name
    for fiftieth in range(50):
        path.write_bytes(data[: len(data) * fiftieth // 50])
        was_read = read_or_refused(path)
        # a plan is whole after any row, the others say where they end
        assert name == "PLAN.csv" or not was_read
    path.write_bytes(data)
    assert read_or_refused(path)


@pytest.mark.parametrize("name", WHOLE)
def test_a_file_with_changed_bytes(name, tmp_path):
    data, path = WHOLE[name], tmp_path / name
    chance = random.Random(5)
    for _ in range(200):
        damaged = bytearray(data)
        for _ in range(chance.randrange(1, 6)):
            damaged[chance.randrange(len(data))] = chance.randrange(256)
        path.write_bytes(damaged)
        read_or_refused(path)


@pytest.mark.parametrize("name", WHOLE)
def test_a_file_with_lines_lost_or_doubled_or_cells_exchanged(name, tmp_path):
    path = tmp_path / name
    encoding = "utf-16" if name == "spectra.txt" else "utf-8"
    lines = WHOLE[name].decode(encoding).split("\n")
    chance = random.Random(6)
    for _ in range(120):
        damaged = list(lines)
        at = chance.randrange(len(lines))
        how = chance.randrange(3)
        if how == 0:
            del damaged[at]
        elif how == 1:
            damaged.insert(at, chance.choice(lines))
        else:
            words = damaged[at].split("\t")
            chance.shuffle(words)
            damaged[at] = "\t".join(words)
        path.write_bytes("\n".join(damaged).encode(encoding))
        read_or_refused(path)


@pytest.mark.parametrize("size", [0, 1, 100, 5000])
def test_noise_is_of_no_known_kind(size, tmp_path):
    path = tmp_path / "noise.txt"
    path.write_bytes(random.Random(size).randbytes(size))
    with refused(MeasurementError, match=r"export it as CxF/X .* or CGATS\.17"):
        read_measurements(path)


def test_a_file_that_is_not_there_or_a_folder(tmp_path):
    for path in (tmp_path / "none.txt", tmp_path, tmp_path / "a\0b"):
        with refused(MeasurementError, match="cannot be read"):
            read_measurements(path)


def test_a_file_too_large(tmp_path, monkeypatch):
    monkeypatch.setattr(files, "MOST_BYTES", 1_000_000)
    path = tmp_path / "large.txt"
    path.write_bytes(b" " * 1_000_001)
    with refused(MeasurementError, match="is larger than 1 megabytes"):
        read_measurements(path)
