"""Fit the curves of oil paints to measured spectra, and write them as built-in pigments.

Run from the top folder: ``python docs/derivations/oils.py``. It reads ``oils.csv`` (reflectance
factors of hand-ground oil paints over white and over black, specular included, parts by mass;
Geldof et al. 2018, Heritage Science 6:17, doi:10.1186/s40494-018-0181-6, open data, CC0) and
``oils.toml`` (densities and properties, from memory). Pairs over two grounds give the film that
hides (Kubelka 1948); masses become volumes of paint; all curves are fitted at once, zinc white's
scattering being 1, and are then carried to titanium white's. A colour with a little black judges
and is not fitted to: a black is stronger in a colour than in white.
"""

from __future__ import annotations

import argparse
import csv
import functools
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from pigment_write import Written, write_pigment

from refmatch.colorimetry.spectrum import BANDS, Array
from refmatch.paint.box import Tube
from refmatch.paint.fit.swatch import Swatch, hiding_reflectance
from refmatch.paint.fit.tubes import Characterised, Named, characterise
from refmatch.paint.kubelka_munk import GLOSS, Surface, to_inner, to_measured

HERE = Path(__file__).parent
DATA = HERE.parents[1] / "refmatch" / "paint" / "data"
HEAD = "# Written by docs/derivations/oils.py; change what it reads, then run it again.\n"
SOURCE = (
    "fitted to spectra of hand-ground oil paint, in masstone and tints, of Geldof et al. 2018, "
    "Heritage Science 6:17, open data, CC0; parts by mass made volumes by densities from memory"
)
GROUNDS = ("white", "black", "bare white", "bare black")

BLACK = "PBk9"

MOST_BLACK = 20.0
"""Per cent of mass: a tint of more is darker than any scattering of a black allows, since black is
stronger where there is little white. Its masstone is from memory."""

LEAST_BODY = 8e-4
"""What the body of the darkest films gives back at the least: the skin cannot give it all."""

NOISE, BY_GAP = 0.001, 0.02
"""Standard error of a film's reflectance, and what is added by how far it failed to hide."""

BRONZE, BRONZE_BELOW = 0.02, 0.03
"""The same for masstones whose body gives back less than the second: they bronze, by so much."""

HAND = 0.03
"""Relative standard error of a part: weighed, but densities are from memory."""


@dataclass(frozen=True, eq=False)
class Sample:
    """One paint: its label, parts by mass, and films over both grounds beside the bare grounds."""

    label: str
    mass: Mapping[str, float]
    films: tuple[Array, ...]

    @property
    def is_black_in_colour(self) -> bool:
        """Whether it is a colour with a little black, which takes no part in the fit."""
        return BLACK in self.mass and len(self.mass) > 1 and not {"PW4", "PW1"} & set(self.mass)


def read_samples(path: Path = HERE / "oils.csv") -> tuple[Sample, ...]:
    """Read the measured films, in the order of the file."""
    mass: dict[str, dict[str, float]] = {}
    films: dict[str, dict[str, Array]] = {}
    with path.open(encoding="utf-8") as lines:
        for row in csv.DictReader(lines):
            label = row["sample"]
            if row["paint_mass_parts"]:
                pairs = (part.split("=") for part in row["paint_mass_parts"].split(";"))
                mass[label] = {name.strip(): float(parts) for name, parts in pairs}
            curve = np.array([float(row[str(nm)]) for nm in range(400, 701, 10)])
            films.setdefault(label, {})[row["ground"]] = curve
    return tuple(
        Sample(label, parts, tuple(films[label][ground] for ground in GROUNDS))
        for label, parts in mass.items()
    )


def read_table() -> dict[str, Any]:
    """Read densities and properties."""
    return tomllib.loads((HERE / "oils.toml").read_text("utf-8"))


def paint_densities(table: Mapping[str, Any]) -> dict[str, float]:
    """Return the density of each paint, from that of pigment and oil and the share of both."""
    return {
        name: 1.0
        / (
            paint["mass_share"] / paint["density"]
            + (1.0 - paint["mass_share"]) / table["oil_density"]
        )
        for name, paint in table["paints"].items()
    }


def swatch_of(sample: Sample, names: tuple[str, ...], per: Mapping[str, float]) -> Swatch:
    """Return a sample as a gloss film that hides, seen without its shine.

    ``per`` is what a part by mass is divided by: a paint's density for volumes, 1 for masses.
    """
    darkest = min(film.min() for film in sample.films[:2])
    shine = float(min(read_table()["shine"], darkest - LEAST_BODY))
    included = Surface(shine, GLOSS.k2, 1.0)
    hiding, gap = hiding_reflectance(*(to_inner(film, included) for film in sample.films))
    seen = to_measured(hiding, Surface(shine, GLOSS.k2, 0.0))
    bronzes = len(sample.mass) == 1 and seen.max() < BRONZE_BELOW
    return Swatch(
        label=sample.label,
        tubes=tuple(names.index(name) for name in sample.mass),
        parts=tuple(parts / per[name] for name, parts in sample.mass.items()),
        reflectance=seen,
        hand=HAND if len(sample.mass) > 1 else 0.0,
        noise=(BRONZE if bronzes else NOISE) + BY_GAP * float(np.abs(gap).max()),
    )


def fit_samples(
    samples: tuple[Sample, ...],
    names: tuple[str, ...],
    per: Mapping[str, float],
    remembered: Sequence[Swatch] = (),
) -> Characterised:
    """Fit K and S of the paints to samples, the reference white's S being 1.

    Nothing is believed of a paint beforehand but that its curves are smooth.
    """
    white = read_table()["reference_white"]
    unit = Tube(
        white, (white,), ("zinc-white",), "built-in", np.full(BANDS, 5e-4), np.ones(BANDS), 0.1
    )
    tubes = [
        Named(
            name, (name,), ("zinc-white",) if name == white else (), unit if name == white else None
        )
        for name in names
    ]
    swatches = [*(swatch_of(sample, names, per) for sample in samples), *remembered]
    return characterise(tubes, white, swatches, "oils", "volume", GLOSS)


def _remembered(names: tuple[str, ...]) -> list[Swatch]:
    """Return the masstones that nobody measured, from memory."""
    paints = read_table()["paints"]
    return [
        Swatch(
            label=f"{name} from memory",
            tubes=(number,),
            parts=(1.0,),
            reflectance=np.full(BANDS, 0.01),
            lab=np.array(paints[name]["masstone"]),
            lab_noise=paints[name]["masstone_noise"],
        )
        for number, name in enumerate(names)
        if "masstone" in paints.get(name, {})
    ]


@functools.cache
def oil_files() -> Mapping[str, Written]:
    """Return what is to be written of each oil pigment, by key."""
    table = read_table()
    names = tuple(table["paints"])
    samples = tuple(
        sample
        for sample in read_samples()
        if set(sample.mass) <= set(names)
        and not sample.is_black_in_colour
        and sample.mass.get(BLACK, 0.0) <= MOST_BLACK
    )
    found = fit_samples(samples, names, paint_densities(table), _remembered(names))
    misses = dict(zip((sample.label for sample in samples), found.misses, strict=False))
    return {
        key: Written(
            pigment,
            _curves(found.box.tubes[names.index(pigment["paint"])], table["zinc_scattering"]),
            [misses[s.label] for s in samples if _is_of(s, pigment["paint"])],
        )
        for key, pigment in table["pigments"].items()
    }


def _curves(tube: Tube, scale: float) -> Array:
    """Return K, then S, (62,), with titanium white's scattering for the unit."""
    return scale * np.concatenate([tube.absorption, tube.scattering])


def _is_of(sample: Sample, paint: str) -> bool:
    """Say whether a sample is of a paint, let down or not."""
    return next(iter(set(sample.mass) - {"PW4", "PW1"} or set(sample.mass))) == paint


def main() -> None:
    """Write one file a pigment."""
    parser = argparse.ArgumentParser(description="Derive the oil pigments.")
    parser.add_argument("--out", type=Path, default=DATA, help="folder for the pigments' files")
    options = parser.parse_args()
    for key, written in oil_files().items():
        text = HEAD + write_pigment(key, written, "oil, measured", SOURCE)
        (options.out / f"{key}.toml").write_text(text, "utf-8")


if __name__ == "__main__":
    main()
