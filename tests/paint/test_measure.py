"""From an instrument's file and a plan to a box: the whole road, and what is refused."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.cli.remedies import REMEDIES
from refmatch.colorimetry.lab import delta_e_00, reflectance_to_lab
from refmatch.errors import BoxError, MeasurementError, OutputError, UsageError
from refmatch.paint.box import built_in_tube
from refmatch.paint.box_file import read_box
from refmatch.paint.instrument.cgats_tables import cgats_text
from refmatch.paint.instrument.reading import Reading
from refmatch.paint.kubelka_munk import FINISHES, Surface, film_over_ground, to_inner, to_measured
from refmatch.paint.measured_box import MeasureAsked, measure_box
from refmatch.recipe.mixture import Palette
from tests.refusals import refused
from tests.virtual_studio.instrument import let_downs, measured
from tests.virtual_studio.paints import another_painters

TUBES = tuple(built_in_tube(key) for key in ("titanium-white", "PB29", "PY74"))
STUDIO = another_painters(TUBES, 11)
MIXES = let_downs(STUDIO)


def files(folder, swatches=None, only_lab=False, header=None):
    """Write the readings and the plan, and return what is asked of them."""
    swatches = swatches or measured(STUDIO, MIXES, 11)
    readings = [
        Reading(
            f"s{i}",
            None if only_lab else swatch.reflectance,
            reflectance_to_lab(swatch.reflectance) if only_lab else None,
        )
        for i, swatch in enumerate(swatches)
    ]
    (folder / "readings.txt").write_text(cgats_text(readings, header))
    rows = ["sample_id,tube,parts,pigment"]
    for i, swatch in enumerate(swatches):
        for tube, parts in zip(swatch.tubes, swatch.parts, strict=True):
            rows.append(f"s{i},{TUBES[tube].name},{parts:g},{TUBES[tube].pigments[0]}")
    (folder / "plan.csv").write_text("\n".join(rows))
    return MeasureAsked(folder / "readings.txt", folder / "plan.csv", "excluded", "mass")


MIXED = np.array([[4.0, 1.0, 0.0], [2.0, 1.0, 2.0], [10.0, 0.0, 1.0]])


def test_the_box_on_the_disk_predicts_the_painters_own_mixes(tmp_path):
    made = measure_box(files(tmp_path), tmp_path / "mine.toml")
    box = read_box(tmp_path / "mine.toml")
    assert (box.name, box.parts) == ("mine", "mass")
    own = delta_e_00(Palette.of(box.tubes, box.surface).lab(MIXED), STUDIO.lab(MIXED))
    generic = delta_e_00(Palette.of(TUBES).lab(MIXED), STUDIO.lab(MIXED))
    assert own.max() < 1.5 < generic.max()
    assert max(miss for _, miss in made.misses) < 1.5


def test_colours_without_spectra_serve_too_and_say_so(tmp_path):
    made = measure_box(files(tmp_path, only_lab=True), tmp_path / "mine.toml")
    assert "no_spectra" in {flag.name for flag in made.flags}
    own = delta_e_00(Palette.of(made.box.tubes).lab(MIXED), STUDIO.lab(MIXED))
    generic = delta_e_00(Palette.of(TUBES).lab(MIXED), STUDIO.lab(MIXED))
    assert np.median(own) < 0.5 * np.median(generic)


def test_a_film_over_white_and_black_is_taken_for_what_it_would_be_if_it_hid(tmp_path):
    """Kubelka 1948 forwards; the box must see the hiding film."""
    surface = Surface()
    grounds = {"white": np.full(31, 0.85), "black": np.full(31, 0.04)}
    k, s = STUDIO.absorption[2], STUDIO.scattering[2]
    thin = {
        name: to_measured(film_over_ground(k, s, np.float64(6.0), to_inner(g, surface)), surface)
        for name, g in grounds.items()
    }
    white, tint = measured(STUDIO, [((0, 1.0),), ((2, 1.0), (0, 9.0))], 3)
    spectra = {
        "w": white.reflectance, "t": tint.reflectance, "yw": thin["white"], "yb": thin["black"],
        "gw": grounds["white"], "gb": grounds["black"],
    }  # fmt: skip
    text = cgats_text([Reading(name, seen, None) for name, seen in spectra.items()])
    (tmp_path / "readings.txt").write_text(text)
    (tmp_path / "plan.csv").write_text(
        "sample_id,tube,parts,pigment,backing\nw,white,1,PW6,none\nt,yellow,1,PY74,none\n"
        "t,white,9,PW6,none\nyw,yellow,1,PY74,white\nyb,yellow,1,PY74,black\n"
        "gw,,,,white\ngb,,,,black\n"
    )
    asked = MeasureAsked(tmp_path / "readings.txt", tmp_path / "plan.csv", "excluded")
    made = measure_box(asked, tmp_path / "mine.toml")
    assert "does_not_hide" in {flag.name for flag in made.flags}
    yellow = made.box.tubes[-1] if made.box.tubes[-1].name == "yellow" else made.box.tubes[1]
    seen = Palette.of([yellow], made.box.surface).lab(np.array([1.0]))
    assert delta_e_00(seen, STUDIO.lab(np.array([[0.0, 0.0, 1.0]]))[0]) < 1.0


SHINES = [("gloss", "excluded", 0.0), ("matt", "excluded", 1.0), ("gloss", "included", 1.0)]
SHINES += [("satin", "excluded", FINISHES["satin"])]


@pytest.mark.parametrize(("finish", "specular", "f"), SHINES)
def test_a_matt_swatch_keeps_its_shine_even_when_excluded(tmp_path, finish, specular, f):
    """The skin's part of what is seen, Saunderson 1942: a matt surface turns it all round."""
    surface = Surface(f=f)
    inner = [to_inner(swatch.reflectance, Surface()) for swatch in measured(STUDIO, MIXES, 4)]
    seen = [to_measured(each, surface) for each in inner]
    asked = files(tmp_path, [s.__class__(s.label, s.tubes, s.parts, r) for s, r in
                             zip(measured(STUDIO, MIXES, 4), seen, strict=True)])  # fmt: skip
    plan = (tmp_path / "plan.csv").read_text().splitlines()
    told = [f"{plan[0]},finish", *(f"{row},{finish}" for row in plan[1:])]
    (tmp_path / "plan.csv").write_text("\n".join(told))
    asked = MeasureAsked(asked.file, asked.plan, specular, "mass")
    made = measure_box(asked, tmp_path / "mine.toml")
    glossy = Palette.of(made.box.tubes, made.box.surface).lab(MIXED)
    assert delta_e_00(glossy, STUDIO.lab(MIXED)).max() < 2.0


def test_what_nobody_says_of_the_shine_is_asked_for(tmp_path):
    asked = files(tmp_path)
    with refused(
        MeasurementError, match=r"shine .*--specular included or excluded", remedies=REMEDIES
    ):
        measure_box(MeasureAsked(asked.file, asked.plan), tmp_path / "mine.toml")
    assert not (tmp_path / "mine.toml").exists()


@pytest.mark.parametrize(
    ("change", "error", "says"),
    [
        ({"specular": "maybe"}, UsageError, "included or excluded"),
        ({"by": "eye"}, UsageError, "by mass or by volume"),
    ],
)
def test_words_that_mean_nothing_are_told(tmp_path, change, error, says):
    asked = files(tmp_path)
    given = {"specular": "excluded", "by": "mass"} | change
    with refused(error, match=says):
        measure_box(MeasureAsked(asked.file, asked.plan, **given), tmp_path / "mine.toml")


def test_a_plan_without_a_white_is_told(tmp_path):
    asked = files(tmp_path)
    plan = asked.plan.read_text().replace("titanium-white", "my own").replace("PW6", "PY3")
    asked.plan.write_text(plan)
    with refused(BoxError, match="no white"):
        measure_box(asked, tmp_path / "mine.toml")


def test_nothing_is_read_where_nothing_could_be_written(tmp_path):
    with pytest.raises(OutputError):
        measure_box(files(tmp_path), tmp_path / "not-there" / "mine.toml")


def test_a_film_whose_ground_was_not_read_is_taken_to_hide_and_says_so(tmp_path):
    asked = files(tmp_path)
    plan = asked.plan.read_text().splitlines()
    rows = [f"{row},{'white' if row.startswith('s6,') else 'none'}" for row in plan[1:]]
    asked.plan.write_text("\n".join([f"{plan[0]},backing", *rows]))
    flags = {flag.name for flag in measure_box(asked, tmp_path / "mine.toml").flags}
    assert "taken_as_hiding" in flags
