"""What is written is read again: random readings, any names, any order of columns."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.colorimetry.spectrum import BANDS
from refmatch.errors import MeasurementError
from refmatch.paint.instrument.cgats_tables import cgats_text
from refmatch.paint.instrument.reading import Reading
from tests.paint.instrument.made import read
from tests.refusals import refused

LETTERS = list("abz0 9#\"',;.%\t=é緑-_")


def random_readings(chance: np.random.Generator, count: int) -> list[Reading]:
    made = []
    for index in range(count):
        name = " ".join("".join(chance.choice(LETTERS, chance.integers(0, 12))).split())
        spectrum = 10.0 ** chance.uniform(-4.0, 0.1, BANDS) if chance.random() < 0.8 else None
        lab = None
        if spectrum is None or chance.random() < 0.3:
            lab = chance.uniform([0, -100, -100], [100, 100, 100])
        made.append(Reading(f"{index} {name}".strip(), spectrum, lab, None, name))
    return made


@pytest.mark.parametrize("seed", range(40))
def test_readings_come_back(seed):
    chance = np.random.default_rng(seed)
    written = random_readings(chance, int(chance.integers(1, 15)))
    # one light spectrum shows that the file is in fractions
    written.append(Reading("white", np.full(BANDS, 0.9), None, None, ""))
    found = read(cgats_text(written, {"ILLUMINATION_NAME": "D50", "OBSERVER_ANGLE": "2"}))
    assert [each.sample_id for each in found.readings] == [each.sample_id for each in written]
    for ours, theirs in zip(written, found.readings, strict=True):
        assert ours.name == theirs.name
        for one, other in ((ours.reflectance, theirs.reflectance), (ours.lab, theirs.lab)):
            assert (one is None) == (other is None)
            if one is not None:
                np.testing.assert_allclose(other, one, rtol=0, atol=1e-9)


@pytest.mark.parametrize(
    "nothing", [Reading("", np.full(BANDS, 0.5), None), Reading("a", None, None)]
)
def test_what_says_nothing_is_not_written(nothing):
    with refused(MeasurementError, match="has no sample_id, or nothing measured"):
        cgats_text([nothing])
