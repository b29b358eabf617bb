"""The value finder: grey steps with holes to punch, measured as this printer prints them.

A printer does not print the greys that it is sent: ink spreads, and paper is no perfect white. A
photo of the finder, a grey card or a chart beside it, tells each step's true Munsell value; what
must be sent for a whole value follows from that.
"""

from __future__ import annotations

import itertools
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from refmatch.colorimetry.display import SRGB_TO_XYZ
from refmatch.colorimetry.hues import value_from_luminance
from refmatch.colorimetry.lab import lab_to_xyz
from refmatch.colorimetry.spectrum import Array
from refmatch.colorimetry.viewing import ICC_WHITE
from refmatch.dabs import card_form as form
from refmatch.dabs.card import (
    GREY_CARD_LSTAR,
    INNER_MM,
    Frame,
    Rectangle,
    Stretch,
    Window,
    check_neutral,
    edge_paper,
    grey_place,
    greys,
    markers,
    size_mm,
)
from refmatch.dabs.chart import read_chart
from refmatch.dabs.chart_colours import Greys, is_grey
from refmatch.dabs.patch import Patch, grey_flags
from refmatch.dabs.read import PhotoPage, find_page, read_grey
from refmatch.dabs.spots import known_of_chart
from refmatch.errors import CardError
from refmatch.flag import Flag
from refmatch.photo.photo import Photo

FORMAT = "refmatch-value-finder"

VALUES = tuple(float(value) for value in range(11))
"""Munsell values from black to white."""

TOP_MM, PATCH_MM, PUNCH_MM = 14.0, 40.0, 32.0
"""From where windows may begin to the strip, and of the strip: what is read, what is punched."""

APART_MM, BETWEEN_MM = 8.0, 14.0
"""From the strip to the row of greys between its steps, and how high that is."""

INSET_MM = 2.5
CLEAR_MM = 3.0

GREY_ALONE = Flag("finder_by_grey_alone")

FEWEST_GREYS = 3
"""Of a chart, by which the camera's curve is known."""

DECIMALS = 3
FINE = 1001
"""Points at which a printer's curve is looked up."""


@dataclass(frozen=True, slots=True)
class StepWindow(Window):
    """A step of the finder: its ``value`` as it is written, and that of the grey that is ``sent``.

    ``place`` is the part that a photo is read in, ``bar`` the part below, where the hole is. A grey
    ``between`` two steps, in a row of its own, is only there to be measured.
    """

    value: float
    sent: float
    between: bool = False

    @property
    def label(self) -> str:
        """How it is called."""
        return f"step {value_label(self.value)}"


def value_label(value: float) -> str:
    """Return a value as it is written on a step: "5", "1.8"."""
    return f"{value:.1f}".removesuffix(".0")


@dataclass(frozen=True)
class ValueFinder(Frame[StepWindow]):
    """The finder on its page."""

    def another(self, photo: str) -> CardError:
        return CardError("another_value_finder", photo=photo)

    @property
    def strip(self) -> tuple[StepWindow, ...]:
        """The steps to be punched, dark to light."""
        return tuple(window for window in self.windows if not window.between)


Steps = Sequence[tuple[float, float]]
"""Of each step the value that is written on it, and the one that is sent to the printer."""

PLAIN: Steps = tuple((value, value) for value in VALUES)
"""A finder for a printer that nothing is known of."""


def compose(
    paper: str = "a4", steps: Steps = PLAIN, neutral_value: float = GREY_CARD_LSTAR
) -> ValueFinder:
    """Lay out a value finder.

    Raises:
        UsageError: no such paper, no L* of a grey.
    """
    width, height = size_mm(paper)
    check_neutral(neutral_value)
    windows = tuple(_windows(paper, steps))
    seed = json.dumps(["value finder", paper, [[round(v, DECIMALS) for v in s] for s in steps]])
    return ValueFinder(
        paper=paper,
        width_mm=width,
        height_mm=height,
        pages=1,
        neutral_value=neutral_value,
        windows=windows,
        markers=markers(paper, 1, seed),
        greys=greys(paper, 1),
        papers=tuple(_plain_paper(paper)),
    )


def strip_place(paper: str) -> Rectangle:
    """Return where all steps lie together."""
    width = size_mm(paper)[0] - 2.0 * INNER_MM
    return Rectangle(INNER_MM, INNER_MM + TOP_MM, width, PATCH_MM + PUNCH_MM)


def _windows(paper: str, steps: Steps) -> Iterator[StepWindow]:
    strip = strip_place(paper)
    across = strip.width_mm / len(steps)
    for number, (value, sent) in enumerate(steps):
        left = strip.x_mm + number * across
        place = Rectangle(left, strip.y_mm, across, PATCH_MM)
        below = Rectangle(left, place.bottom_mm, across, PUNCH_MM)
        yield StepWindow(1, place, below, round(value, DECIMALS), round(sent, DECIMALS))
    between = between_place(paper)
    across = between.width_mm / (len(steps) - 1)
    for number, ((value, sent), (next_value, next_sent)) in enumerate(itertools.pairwise(steps)):
        place = Rectangle(between.x_mm + number * across, between.y_mm, across, BETWEEN_MM)
        middle, half = round((value + next_value) / 2.0, DECIMALS), (sent + next_sent) / 2.0
        yield StepWindow(1, place, place, middle, round(half, DECIMALS), between=True)


def between_place(paper: str) -> Rectangle:
    """Return where the greys between the steps lie."""
    strip = strip_place(paper)
    return Rectangle(strip.x_mm, strip.bottom_mm + APART_MM, strip.width_mm, BETWEEN_MM)


def _plain_paper(paper: str) -> Iterator[Stretch]:
    """Yield the white at the page's edges, over the strip and below it, where nothing is printed.

    What is said on the page stands in the upper half below.
    """
    yield from edge_paper(paper, 1)
    strip, bottom = strip_place(paper), grey_place(paper).y_mm
    across, last = strip.width_mm / 4.0, between_place(paper).bottom_mm
    below = last + (bottom - last) / 2.0
    rows = ((INNER_MM, TOP_MM), (below, (bottom - below) / 2.0), ((below + bottom) / 2.0, 0.0))
    for top, high in rows:
        for column in range(4):
            tall = high or (bottom - below) / 2.0
            place = Rectangle(strip.x_mm + column * across, top, across, tall)
            yield Stretch(1, place.inset(CLEAR_MM))


# What a photo of it tells.


@dataclass(frozen=True)
class MeasuredStep:
    """A step: what is written on it, what was sent, and the value that it truly has.

    A grey ``between`` two steps carries no value, and is no step of the finder's strip.
    """

    value: float
    sent: float
    true: float
    between: bool = False


@dataclass(frozen=True)
class MeasuredFinder:
    """A finder as a printer printed it, dark to light; ``by_chart`` where a chart lay beside it.

    ``greys`` are the steps and the greys between them.
    """

    greys: tuple[MeasuredStep, ...]
    by_chart: bool
    flags: tuple[Flag, ...] = ()

    @property
    def steps(self) -> tuple[MeasuredStep, ...]:
        """The steps of the strip."""
        return tuple(step for step in self.greys if not step.between)

    @property
    def darkest(self) -> float:
        """The darkest value that this printer prints."""
        return float(self._true.min())

    @property
    def lightest(self) -> float:
        """The value of its paper."""
        return float(self._true.max())

    @property
    def _true(self) -> Array:
        """The true values, made to rise with what is sent: noise alone makes them fall."""
        return np.maximum.accumulate([step.true for step in self.greys])

    def sent_for(self, values: Array) -> Array:
        """Return what must be sent for values (n,) to be printed; the ends for what is beyond."""
        sent = np.linspace(self.greys[0].sent, self.greys[-1].sent, FINE)
        true = _rising(np.array([step.sent for step in self.greys]), self._true, sent)
        return np.interp(values, np.maximum.accumulate(true), sent)

    def corrected(self) -> Steps:
        """Return the steps of a finder for this printer: its ends, and all whole values between."""
        dark, light = self.darkest, self.lightest
        whole = [value for value in VALUES if dark + 0.25 <= value <= light - 0.25]
        values = [round(dark, 1), *whole, round(light, 1)]
        ends = [self.greys[0].sent, self.greys[-1].sent]
        between = self.sent_for(np.array(whole)).tolist() if whole else []
        return tuple(zip(values, [ends[0], *between, ends[1]], strict=True))


def _rising(x: Array, y: Array, at: Array) -> Array:
    """Return a smooth curve through points that rise, (n,) each, which rises too.

    Cubic pieces whose slopes are harmonic means of those beside them (Fritsch & Butland 1984,
    SIAM Journal on Scientific and Statistical Computing 5, 300-304, doi:10.1137/0905021).
    """
    wide = np.diff(x)
    steep = np.diff(y) / wide
    slopes = np.empty(len(x))
    product = np.maximum(steep[:-1] * steep[1:], 0.0)
    before, after = 2.0 * wide[1:] + wide[:-1], wide[1:] + 2.0 * wide[:-1]
    slopes[1:-1] = (
        (before + after) * product / np.maximum(before * steep[1:] + after * steep[:-1], 1e-12)
    )
    slopes[0] = np.clip(1.5 * steep[0] - 0.5 * slopes[1], 0.0, 3.0 * steep[0])
    slopes[-1] = np.clip(1.5 * steep[-1] - 0.5 * slopes[-2], 0.0, 3.0 * steep[-1])
    left = np.clip(np.searchsorted(x, at, side="right") - 1, 0, len(wide) - 1)
    t, h = (at - x[left]) / wide[left], wide[left]
    ends = (1.0 + 2.0 * t) * (1.0 - t) ** 2 * y[left] + t**2 * (3.0 - 2.0 * t) * y[left + 1]
    bends = t * (1.0 - t) ** 2 * slopes[left] - t**2 * (1.0 - t) * slopes[left + 1]
    return np.asarray(ends + h * bends)


def measure(photo: Photo, card: ValueFinder) -> MeasuredFinder:
    """Return the true values of a finder's steps.

    The grey card on its place says how light a step is; a 24-patch chart beside it, found by
    itself, what the camera makes of light and dark.

    Raises:
        CardError: the finder cannot be found or used, or neither grey card nor chart is there.
    """
    page = find_page(photo, card)
    curve, is_chart, said = _curve(photo)
    grey, flags = _grey(page, card, is_chart)
    patches = [page.patch(window.place.inset(INSET_MM)) for window in card.windows]
    light = _luminance(np.array([patch.xyz for patch in patches]), curve)
    if grey is not None:
        known = float(lab_to_xyz(np.array([card.neutral_value, 0.0, 0.0]), ICC_WHITE)[1])
        light = light * known / float(_luminance(grey.xyz[None], curve)[0])
    measured = (
        MeasuredStep(window.value, window.sent, float(value_from_luminance(of)), window.between)
        for window, of in zip(card.windows, light, strict=True)
    )
    alone = () if is_chart else (GREY_ALONE,)
    in_order = tuple(sorted(measured, key=lambda step: step.sent))
    return MeasuredFinder(in_order, is_chart, (*page.flags, *flags, *said, *alone))


def _curve(photo: Photo) -> tuple[Greys | None, bool, tuple[Flag, ...]]:
    """Return the camera's curve by a chart's greys, None where there is no chart."""
    chart = read_chart(photo)
    known = [
        patch
        for patch in known_of_chart(chart)
        if not patch.spot.is_clipped and is_grey(patch.reflectance)
    ]
    flags = chart.flags if chart else ()
    return (Greys.of(known), True, flags) if len(known) >= FEWEST_GREYS else (None, False, flags)


def _luminance(xyz: Array, curve: Greys | None) -> Array:
    """Return luminance, (n, 3) to (n,), 0 to 100, of what a photo decodes."""
    if curve is None:
        return 100.0 * xyz[:, 1]
    return np.maximum(curve.undone(xyz) @ SRGB_TO_XYZ[1], 0.0)


def _grey(
    page: PhotoPage, card: ValueFinder, is_chart: bool
) -> tuple[Patch | None, tuple[Flag, ...]]:
    try:
        grey = read_grey(page, card)
    except CardError as error:
        if not is_chart:
            raise CardError("neither_grey_nor_chart", why=error) from error
        return None, (Flag("grey_card_not_seen"),)
    return grey, grey_flags(grey)


# The finder as a JSON file beside its PDF: what was sent, so that a photo of it can be read.


def finder_to_json(card: ValueFinder) -> str:
    """Write a finder as JSON text; `read_finder` reads the same one back."""
    content = {
        "format": FORMAT,
        "version": form.VERSION,
        **form.paper_rows(card),
        "tubes": [],
        "steps": [{"value": window.value, "sent": window.sent} for window in card.strip],
        **form.place_rows(card),
    }
    return form.as_text(content)


def read_finder(path: Path) -> ValueFinder:
    """Read the file of a value finder.

    Raises:
        CardError: it cannot be read, or is none.
    """
    return form.read_card(form.read_text(path), str(path), FORMAT, _finder)


def _finder(raw: form.Json) -> ValueFinder:
    steps = [(form.number(row["value"]), form.number(row["sent"])) for row in raw["steps"]]
    sent = [one for _, one in steps]
    if sorted(set(sent)) != sent:
        raise ValueError("its steps do not rise")
    if not 2 <= len(steps) <= 2 * len(VALUES) or not all(
        0.0 <= value <= 10.0 for step in steps for value in step
    ):
        raise ValueError("its steps are not values from 0 to 10")
    return compose(str(raw["paper"]), tuple(steps), form.number(raw["neutral_value"]))
