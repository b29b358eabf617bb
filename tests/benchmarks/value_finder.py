"""How truly a value finder is measured, and how true the one is that is made from that.

    python -m tests.benchmarks.value_finder [PRINTERS]

Simulated printers (`tests.virtual_studio.printer`), photographed plainly beside a grey card, and
by phones whose tone curves nobody knows, with and without a 24-patch chart beside the page.
"""

from __future__ import annotations

import sys

import numpy as np

from refmatch.dabs.value_finder import compose, measure
from refmatch.photo.photo import Photo
from tests.dabs.test_value_finder import photo_of, truth
from tests.virtual_studio.card_photo import beside_chart, page_photographed, setting_of
from tests.virtual_studio.chart_photo import photographed
from tests.virtual_studio.printer import Printer, another_printer, printed_page

LIGHTS = ("D50", "D65", "LED-B3")


def by_phone(printer: Printer, seed: int, *, with_chart: bool) -> Photo:
    """Return a phone's photo of a printer's plain finder."""
    setting = setting_of(seed, LIGHTS[seed % len(LIGHTS)])
    page = printed_page(printer, compose())
    if with_chart:
        return page_photographed(page, setting)
    white = setting.seen_by.weights.sum(axis=0).astype(np.float32)
    return photographed(setting, [beside_chart(page * white)], reflectance=np.zeros((0, 31)))


def main(count: int) -> None:
    ways = {
        "grey card, a camera whose files are as they say": lambda printer, _: photo_of(
            printer, compose()
        ),
        "grey card, a phone": lambda printer, seed: by_phone(printer, seed, with_chart=False),
        "grey card and chart, a phone": lambda printer, seed: by_phone(
            printer, seed, with_chart=True
        ),
    }
    for way, photo in ways.items():
        told, made = [], []
        for seed in range(100, 100 + count):
            printer = another_printer(seed)
            found = measure(photo(printer, seed), compose())
            true = np.array([step.true for step in found.steps])
            told.append(np.abs(true - truth(printer, compose())))
            card = compose(steps=found.corrected())
            written = np.array([window.value for window in card.strip])
            made.append(np.abs(truth(printer, card) - written).max())
        off = np.concatenate(told)
        print(
            f"{way}: steps told within {np.median(off):.2f} (half), "
            f"{np.percentile(off, 95):.2f} (95 in 100), {off.max():.2f} (all); "
            f"steps of the finder made from it, the worst: median {np.median(made):.2f}, "
            f"most {max(made):.2f}",
            flush=True,
        )
    plain = [
        np.abs(truth(another_printer(seed), compose()) - np.arange(11))
        for seed in range(100, 100 + count)
    ]
    print(f"unmeasured: off by {np.median(plain):.2f} (half), {np.max(plain):.2f} (all)")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 6)
