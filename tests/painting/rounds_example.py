"""Invented rounds of the invented painting; their figures are made up."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from refmatch.colorimetry.lab import delta_e_00
from refmatch.dabs.beside import GREY, Beside
from refmatch.dabs.spot import Spot
from refmatch.dabs.verdict import Apart, judge
from refmatch.painting.model import Added, Advised, Done, Look, Painting, Round, SavedFile
from refmatch.painting.record import pile_now
from refmatch.painting.store import create
from tests.painting import example


def spot(level: float = 0.18) -> Spot:
    xyz = level * np.array([0.9642, 1.0, 0.8249])
    return Spot(xyz=xyz, sigma=0.004 * xyz, shading=0.01, paper=0.12)


def look(number: int, date: str = "2026-11-28") -> Look:
    """Return a photo of dabs beside a grey card; each number is a photo of its own."""
    digest = f"{number:064x}"
    photo = SavedFile(f"checks/{digest[:16]}.jpg", digest)
    grey = Beside(GREY, spot(), lab=np.array([50.0, 0.0, 0.0]))
    return Look(photo, date, "", "wet", "grey card", (grey,))


def round_of(
    painting: Painting,
    place: int,
    seen: Look,
    off: Sequence[float] = (2.5, -1.0, 1.5),
    corrections: Sequence[Advised] = (),
    *,
    divide: bool = False,
    done: Done | None = None,
) -> Round:
    """Return a round of the pile that is there now, found to be ``off`` its target in Lab."""
    target = painting.targets[place]
    now = pile_now(painting, target.label)
    lab = target.lab + np.asarray(off)
    photo, belief = np.diag([0.9, 0.6, 0.6]), np.diag([0.3, 0.25, 0.25])
    verdict = judge(
        lab,
        target.lab,
        Apart.of(lab + 0.4, photo, target.lab),
        Apart.of(lab, belief, target.lab),
    )
    return Round(
        target=target.label,
        target_lab=target.lab,
        pile=now.pile,
        number=now.number,
        look=seen.photo.sha256,
        spot=spot(),
        parts=now.parts,
        measured_lab=lab + 0.4,
        measured_covariance=photo,
        lab=lab,
        covariance=belief,
        delta_e_00=float(delta_e_00(lab, target.lab)),
        verdict=verdict.name,
        words=verdict.words,
        corrections=tuple(corrections),
        divide=divide,
        fresh=False,
        advice=corrections[0].words if corrections else "",
        done=done,
    )


def advised(*additions: Added, lab: Sequence[float] = (50.0, 0.0, 0.0)) -> Advised:
    told = ", then ".join(f"{each.parts:g} of {each.name}" for each in additions)
    return Advised(additions, np.array(lab, float), 0.7, f"Add {told}.")


PIGMENTS = {
    "PY43": "yellow-ochre",
    "PO20": "cadmium-orange",
    "PV19": "quinacridone-rose",
    "PB36": "cerulean-blue-chromium",
}
"""Where the example's short names lead to several pigments."""


def box_text() -> str:
    """Return the example's tubes as a box of built-in pigments."""
    rows = [
        'format = "refmatch-box"',
        "version = 1",
        'name = "garden table"',
    ]
    for name, (index, *_) in example.TUBES.items():
        pigment = PIGMENTS.get(index, index)
        rows += ["[[tube]]", f'name = "{name}"', f'pigments = ["{pigment}"]', 'source = "built-in"']
    return "\n".join(rows) + "\n"


def boxed(count: int = 3) -> Painting:
    """Return the example with a box that can be mixed from."""
    plain = example.painting(count)
    return example.asking(plain, box=box_text())


def keep(folder: Path, painting: Painting) -> Path:
    """Put a painting into a new folder."""
    photo = folder.parent / "pears.png"
    photo.write_bytes(example.picture())
    create(folder, photo, painting, example.pictures())
    return folder
