"""The curves of the built-in pigments against published colours of real paints.

Source of all measured colours: Okumura 2005, Developing a Spectral and Colorimetric
Database of Artist Paint Materials, MS thesis, Rochester Institute of Technology, as
carried by ``docs/derivations/measured_colours.toml``.
"""

from __future__ import annotations

import csv
import itertools
import re
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00, hue_deg, reflectance_to_lab
from refmatch.colorimetry.spectrum import WAVELENGTHS_NM, Array
from refmatch.paint.kubelka_munk import Surface, opaque_reflectance, to_measured
from refmatch.paint.library import mixtures, pigments
from tests.paint.test_library import rows

TOP = Path(__file__).parents[2]
DERIVATIONS = TOP / "docs" / "derivations"
MEASURED = tomllib.loads((DERIVATIONS / "measured_colours.toml").read_text("utf-8"))
LET_DOWNS = MEASURED["let_downs"]["lab"]
WHITE_PARTS = MEASURED["let_downs"]["parts_of_white"]
MEASURED_KEYS = sorted(set(LET_DOWNS) - set(mixtures()))
SWING, MEASURED_SWING = 0.02, 0.04


def reflectance_of(parts: dict[str, float]) -> Array:
    """Reflectance of an opaque gloss film; written out here, apart from the code it judges."""
    absorption = sum(n * pigments()[key].absorption for key, n in parts.items())
    scattering = sum(n * pigments()[key].scattering for key, n in parts.items())
    return to_measured(opaque_reflectance(np.asarray(absorption / scattering)), Surface(f=0.0))


def lab_of(parts: dict[str, float]) -> Array:
    return reflectance_to_lab(reflectance_of(parts))


def let_down(key: str, white: float) -> dict[str, float]:
    return {"titanium-white": 1.0} if key == "titanium-white" else {key: 1, "titanium-white": white}


def errors_of(key: str) -> Array:
    predicted = np.stack([lab_of(let_down(key, white)) for white in WHITE_PARTS])
    return delta_e_00(predicted, np.array(LET_DOWNS[key], dtype=float))


def mixture_errors(use: str) -> Array:
    chosen: list[dict[str, Any]] = [r for r in MEASURED["mixtures"]["rows"] if r["use"] == use]
    predicted = np.stack([lab_of(row["parts"]) for row in chosen])
    return delta_e_00(predicted, np.array([row["lab"] for row in chosen]))


def turning_points(curve: Array) -> list[tuple[float, float]]:
    """Distance in nm and swing between neighbouring turning points of a curve."""
    rise = np.sign(np.diff(curve))
    turns = [i for i in range(1, 30) if rise[i - 1] * rise[i] < 0.0]
    return [(10.0 * (b - a), abs(curve[b] - curve[a])) for a, b in itertools.pairwise(turns)]


@pytest.mark.parametrize("key", MEASURED_KEYS)
def test_masstone_and_tints_are_near_the_published_ones(key: str) -> None:
    assert errors_of(key).max() <= 1.5


def test_masstones_and_tints_are_near_in_the_middle() -> None:
    assert len(MEASURED_KEYS) == 24
    assert np.median(np.concatenate([errors_of(key) for key in MEASURED_KEYS])) <= 0.5


def test_mixtures_held_back_from_the_fit_are_predicted() -> None:
    errors = mixture_errors("check")
    assert len(errors) == 36
    assert np.median(errors) <= 1.2
    assert np.percentile(errors, 90) <= 4.0


@pytest.mark.parametrize("key", ["paynes-grey", "sap-green-hue", "permanent-green-light"])
def test_convenience_tubes_tint_like_a_published_one(key: str) -> None:
    """Such a tube's own pigments are not published, so this is a likeness, not a fit."""
    parts = dict(mixtures()[key].portions)
    total = sum(parts.values())
    tints = [lab_of(parts | {"titanium-white": n * total}) for n in WHITE_PARTS[1:]]
    errors = delta_e_00(np.stack(tints), np.array(LET_DOWNS[key][1:], dtype=float))
    assert errors.max() < 2.0


def test_titanium_white_is_as_light_as_published() -> None:
    assert lab_of({"titanium-white": 1.0})[0] == pytest.approx(96.0, abs=0.5)


@pytest.mark.parametrize("key", pigments())
def test_no_curve_wiggles_more_finely_than_known_bands(key: str) -> None:
    """The finest bands of paints, cobalt's and the quinacridones', stand 30-40 nm apart.

    From a band's top to the gap beside it is half of that: no two turning points of
    ln K or ln S may be nearer than 20 nm unless they differ by less than 2 %; in what an
    instrument saw, band by band, 4 %.
    """
    pigment = pigments()[key]
    swing_allowed = MEASURED_SWING if pigment.medium == "oil, measured" else SWING
    for curve in (pigment.absorption, pigment.scattering):
        near = [swing for nm, swing in turning_points(np.log(curve)) if nm < 20.0]
        assert max(near, default=0.0) < swing_allowed


def test_a_wiggle_would_be_noticed() -> None:
    wiggly = np.log(pigments()["yellow-ochre"].absorption) + 0.03 * np.cos(np.pi * np.arange(31))
    assert min(nm for nm, swing in turning_points(wiggly) if swing > SWING) < 20.0


def _range(text: str) -> tuple[float, float]:
    ends = [float(each) for each in text.split("-")]
    return ends[0], ends[-1]


@pytest.mark.parametrize("row", [r for r in rows() if r["edge_nm"]], ids=lambda r: r["key"])
def test_the_edge_stands_where_the_pigments_does(row: dict[str, str]) -> None:
    """Steepest rise of a masstone or a tint, beside the table (from memory) within 12 nm."""
    low, high = _range(row["edge_nm"])
    middles = WAVELENGTHS_NM[:-1] + 5.0
    found = [
        middles[np.argmax(np.diff(reflectance_of(let_down(row["key"], n))))] for n in (0.0, 1.0)
    ]
    assert any(low - 12.0 <= edge <= high + 12.0 for edge in found)


@pytest.mark.parametrize("row", [r for r in rows() if r["peak_nm"]], ids=lambda r: r["key"])
def test_the_peak_of_a_blue_or_green_stands_where_the_pigments_does(row: dict[str, str]) -> None:
    low, high = _range(row["peak_nm"])
    visible = reflectance_of(let_down(row["key"], 1.0))[:26]  # the red rise begins at 660 nm
    assert low - 12.0 <= WAVELENGTHS_NM[np.argmax(visible)] <= high + 12.0


@pytest.mark.parametrize("row", [r for r in rows() if r["band_nm"]], ids=lambda r: r["key"])
def test_the_absorption_band_stands_where_the_pigments_does(row: dict[str, str]) -> None:
    """A top of K, or a shoulder: where the curve bends down most, within 15 nm."""
    band = float(row["band_nm"])
    bend = np.diff(pigments()[row["key"]].absorption, 2)
    tops = [i for i in range(1, 28) if bend[i] < min(bend[i - 1], bend[i + 1]) and bend[i] < 0.0]
    assert min(abs(WAVELENGTHS_NM[top + 1] - band) for top in tops) <= 15.0


def test_cadmium_masstones_are_as_painters_know_them() -> None:
    """From memory: an orange is light and strong, a light red a scarlet, a deep red darker."""
    orange, red, deep = (
        lab_of({f"cadmium-{name}": 1.0}) for name in ("orange", "red-light", "red-deep")
    )
    assert delta_e_00(orange, np.array([62.0, 55.0, 75.0])) < 3.0
    assert delta_e_00(red, np.array([45.0, 62.0, 45.0])) < 3.0
    assert deep[0] < red[0] < orange[0]
    assert hue_deg(deep) < hue_deg(red) < hue_deg(orange)


def test_zinc_white_hides_less_than_titanium() -> None:
    """From memory: zinc scatters a quarter of what titanium does."""
    assert pigments()["zinc-white"].scattering.mean() == pytest.approx(0.25, abs=0.05)


def oil_rows() -> dict[tuple[str, str], dict[str, str]]:
    with (DERIVATIONS / "oils.csv").open(encoding="utf-8") as lines:
        rows = list(csv.DictReader(lines))
    return {(row["sample"], row["ground"]): row for row in rows}


@pytest.mark.parametrize(
    ("sample", "parts", "limit"),
    [
        ("07C", {"zinc-white": 97.1 / 2.81, "ivory-black": 2.9 / 1.33}, 1.5),
        ("07D", {"zinc-white": 90.4 / 2.81, "ivory-black": 9.6 / 1.33}, 1.5),
        ("08B", {"lead-white": 99.1 / 4.03, "ivory-black": 0.9 / 1.33}, 1.5),
        ("09B", {"viridian": 11.6 / 1.56, "zinc-white": 88.4 / 2.81}, 1.5),
        ("11B", {"ultramarine-blue-oil": 10.7 / 1.54, "zinc-white": 89.3 / 2.81}, 1.5),
        ("13B", {"prussian-blue": 6.3 / 1.24, "zinc-white": 93.7 / 2.81}, 3.0),
        ("13G", {"prussian-blue": 1.1 / 1.24, "zinc-white": 98.9 / 2.81}, 2.5),
        ("06A", {"vermilion": 1.0}, 1.5),
    ],
)
def test_oil_pigments_look_as_the_measured_paints(
    sample: str, parts: dict[str, float], limit: float
) -> None:
    """Geldof et al. 2018, Heritage Science 6:17; films that hide, less 0.038 for their shine.

    Parts by mass, over the densities of the paints (from memory).
    """
    row = oil_rows()[sample, "black"]
    seen = np.array([float(row[f"{nm:.0f}"]) for nm in WAVELENGTHS_NM]) - 0.038
    assert delta_e_00(lab_of(parts), reflectance_to_lab(seen)) < limit


def test_bone_black_is_far_weaker_than_carbon_black() -> None:
    """Common practice, no source: a third of its strength at the most."""
    ratio = pigments()["ivory-black"].absorption / pigments()["carbon-black"].absorption
    assert ratio.mean() < 1 / 3


def test_the_files_are_what_the_script_derives(tmp_path: Path) -> None:
    for script in (["pigments.py", "--no-page"], ["oils.py"]):
        command = [str(DERIVATIONS / script[0]), *script[1:], "--out", str(tmp_path)]
        subprocess.run([sys.executable, *command], check=True, timeout=100)
    derived = [tomllib.loads(path.read_text("utf-8")) for path in tmp_path.glob("*.toml")]
    assert len(derived) > 50
    for raw in derived:
        if "portions" in raw:
            assert mixtures()[raw["key"]].name == raw["name"]
            continue
        # Other linear algebra libraries round otherwise: 1 % is 0.1 dE00.
        pigment, curve = pigments()[raw["key"]], raw["curve"]
        np.testing.assert_allclose(curve["absorption"], pigment.absorption, rtol=0.01)
        np.testing.assert_allclose(curve["scattering"], pigment.scattering, rtol=0.01)


def test_the_accuracy_page_says_what_the_files_give() -> None:
    page = (TOP / "docs" / "accuracy.md").read_text("utf-8")
    for key in MEASURED_KEYS:
        row = re.search(rf"^\| {key} \|(.*)\|$", page, re.MULTILINE)
        assert row, f"{key} is missing from the page"
        said = [float(cell) for cell in row[1].split("|") if cell.strip()]
        np.testing.assert_allclose(said, errors_of(key)[: len(said)], atol=0.05)
    summary = re.search(r"^\| mixtures marked check \| 36 \|(.*)\|$", page, re.MULTILINE)
    assert summary
    errors = mixture_errors("check")
    expected = [np.median(errors), np.percentile(errors, 90), errors.max()]
    np.testing.assert_allclose([float(c) for c in summary[1].split("|")], expected, atol=0.05)
