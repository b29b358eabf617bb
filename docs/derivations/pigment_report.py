"""Say how far the fitted curves are from what is published, for docs/accuracy.md."""

from __future__ import annotations

import textwrap
from typing import Any

import numpy as np
from pigment_fit import fit, mixed_lab
from pigment_task import Task, fit_colours, let_downs, mixture_rows, mixtures, shares

from refmatch.colorimetry.lab import chroma, delta_e_00
from refmatch.colorimetry.spectrum import Array

HEADING = "## The built-in pigments"
BEGIN = "<!-- Written by docs/derivations/pigments.py: do not edit up to the end mark. -->"
END = "<!-- End of what docs/derivations/pigments.py writes. -->"


def with_section(page: str, text: str) -> str:
    """Return the page with the section put in place of its old self, or at its end."""
    block = f"{BEGIN}\n{text.strip()}\n{END}"
    if BEGIN in page:
        before, rest = page.split(BEGIN, 1)
        return before + block + rest.split(END, 1)[1]
    return f"{page.rstrip()}\n\n{HEADING}\n\n{block}\n".lstrip()


def section(job: Task, curves: Array, convenience: dict[str, dict[str, Any]]) -> str:
    """Return the section's text: how they were derived, and every residual."""
    return "\n\n".join(
        [
            _method(job),
            _summary(job, curves),
            _let_down_table(job, curves),
            _mixture_table(job, curves),
            _convenience_table(job, convenience),
            _remembered(job, curves),
        ]
    )


def left_out(job: Task) -> Array:
    """Return dE00 of each mixture marked "fit", predicted by a fit without it; shape (n,)."""
    colours = fit_colours(job)
    count = len(mixture_rows(job, "fit"))
    found = []
    for row in range(len(colours.lab) - count, len(colours.lab)):
        others = np.arange(len(colours.lab)) != row
        curves = fit(colours.only(others), job.mean, job.covariance)
        predicted = mixed_lab(curves, colours.shares[[row]])
        found.append(delta_e_00(predicted, colours.lab[[row]])[0])
    return np.array(found)


def _method(job: Task) -> str:
    return _paragraphs(
        f"""Each pigment has an absorption and a scattering curve of 31 bands, titanium white's
        scattering being 1 in each. All curves are fitted at once, as the most probable ones
        under a sketch of each pigment's bands, edges and peaks (from memory), to the published
        colours of {job.measured["source"]}. Those colours are of opaque gloss acrylics, specular
        excluded (k1 0.0308, k2 0.606, D50, 2 degrees). An oil paint of that pigment, with a
        binder, a load and a maker of its own, may lie 5 dE00 off (from memory): a box calibrated
        with one's own tubes is always better.""",
        """The settings of the fit were chosen by leaving out each mixture marked "fit" in turn.
        The mixtures marked "check" were used neither for fitting nor for choosing.""",
    )


def _summary(job: Task, curves: Array) -> str:
    keys = [key for key in job.keys if job.is_measured(key)]
    rows = [_errors(curves, *let_downs(job, key)) for key in keys]
    lines = [
        "| dE00 against | colours | median | p90 | largest |",
        "|---|---|---|---|---|",
        _summary_row("masstone and let-downs, fitted", np.concatenate(rows)),
        _summary_row("mixtures marked fit, fitted", _errors(curves, *mixtures(job, "fit"))),
        _summary_row("the same, each left out of the fit", left_out(job)),
        _summary_row("mixtures marked check", _errors(curves, *mixtures(job, "check"))),
    ]
    return "\n".join(lines)


def _summary_row(name: str, errors: Array) -> str:
    figures = (np.median(errors), np.percentile(errors, 90), errors.max())
    return f"| {name} | {len(errors)} | " + " | ".join(f"{each:.2f}" for each in figures) + " |"


def _let_down_table(job: Task, curves: Array) -> str:
    steps = job.measured["let_downs"]["parts_of_white"]
    heads = ["masstone" if step == 0 else f"1:{step}" for step in steps]
    intro = """The residual of each measured pigment, dE00; the published values are rounded to
        whole units, which alone makes about 0.3."""
    lines = [_paragraphs(intro), "", *_table_head("pigment", heads)]
    for key in (key for key in job.keys if job.is_measured(key)):
        errors = [f"{each:.2f}" for each in _errors(curves, *let_downs(job, key))]
        errors += [""] * (len(heads) - len(errors))
        lines.append(f"| {key} | {' | '.join(errors)} |")
    return "\n".join(lines)


def _mixture_table(job: Task, curves: Array) -> str:
    lines = ["The mixtures marked check:", "", *_table_head("mixture", ["dE00"])]
    errors = _errors(curves, *mixtures(job, "check"))
    for row, error in zip(mixture_rows(job, "check"), errors, strict=True):
        parts = " + ".join(f"{parts} {key}" for key, parts in row["parts"].items())
        lines.append(f"| {parts} | {error:.2f} |")
    return "\n".join(lines)


def _convenience_table(job: Task, convenience: dict[str, dict[str, Any]]) -> str:
    steps = job.measured["let_downs"]["parts_of_white"]
    intro = """Convenience tubes are mixtures of the pigments above. Where the colours of such a
        tube are published, the parts are fitted to them; the tube's own pigments are not known,
        and its masstone is missed by more than its tints."""
    heads = ["masstone" if step == 0 else f"1:{step}" for step in steps]
    lines = [_paragraphs(intro), "", *_table_head("tube", heads)]
    for key, mixture in convenience.items():
        if "residuals" in mixture:
            lines.append(
                f"| {key} | {' | '.join(f'{each:.2f}' for each in mixture['residuals'])} |"
            )
    return "\n".join(lines)


def _remembered(job: Task, curves: Array) -> str:
    keys = ", ".join(key for key in job.keys if not job.is_measured(key))
    return _paragraphs(
        f"""No published colours stand behind the following; their curves come from their bands
        and edges, the strength of their neighbours, and Lab of masstone and tints, all from
        memory: {keys}.""",
        f"""The published raw umber looks suspect (more neutral than most tubes): its doubt is
        doubled. Dark mixtures without white are the weakest point of all such curves: a few
        thousandths of reflectance are a visible step there. Painters know ultramarine with a
        burnt earth as a near neutral: at its most neutral it comes out here at C*
        {_most_neutral(job, curves, "burnt-umber"):.1f} with burnt umber, but at C*
        {_most_neutral(job, curves, "burnt-sienna"):.1f}, a dark violet brown, with burnt
        sienna.""",
    )


def _most_neutral(job: Task, curves: Array, earth: str) -> float:
    """Return the least chroma that ultramarine makes with an earth, without white."""
    recipes = [{"ultramarine-blue": 1.0, earth: part} for part in np.geomspace(0.05, 20.0, 200)]
    mixed = mixed_lab(curves, np.stack([shares(job, recipe) for recipe in recipes]))
    return float(chroma(mixed).min())


def _table_head(first: str, heads: list[str]) -> list[str]:
    return [f"| {first} | {' | '.join(heads)} |", "|---" * (1 + len(heads)) + "|"]


def _paragraphs(*texts: str) -> str:
    wrapped = [textwrap.fill(" ".join(text.split()), 92) for text in texts]
    return "\n\n".join(wrapped)


def _errors(curves: Array, rows: Array, lab: Array) -> Array:
    return delta_e_00(mixed_lab(curves, rows), lab)
