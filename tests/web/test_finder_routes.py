"""The value finder over the wire: what is printed, what a photo of it tells, what is refused."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.dabs.value_finder import compose, measure
from refmatch.sheet.value_finder_pages import write
from tests.dabs.test_value_finder import photo_of, truth
from tests.virtual_studio.printer import another_printer, jpeg_of
from tests.web.asking import SAMPLES, Browser

PRINT, TELL = "/api/value-finder.pdf?grey=49.5", "/api/value-finder/photos?grey=49.5&name=a.jpg"


def test_a_photo_tells_the_steps_and_makes_a_finder_for_the_printer(browser: Browser) -> None:
    """By the printer's own law, as tests/dabs/test_value_finder.py holds it."""
    printer, plain = another_printer(1), compose("letter")
    answer = browser.get(f"{PRINT}&paper=letter")
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.content == write(plain)
    told = browser.post(f"{TELL}&paper=a4", content=jpeg_of(printer, plain)).json()
    seen = np.array([step["true"] for step in told["steps"]])
    assert np.abs(seen - truth(printer, plain)).max() < 0.3
    assert told["flags"], "a grey card alone leaves the camera's curve in doubt"

    steps = tuple(
        (float(value), float(sent))
        for value, sent in (row.split(":") for row in told["corrected"].split(","))
    )
    own = compose("a4", steps)
    printed = browser.get(f"{PRINT}&paper=a4&steps={told['corrected']}").content
    assert printed == write(own)
    written = np.array([window.value for window in own.strip])
    assert np.abs(truth(printer, own) - written).max() < 0.4
    again = browser.post(
        f"{TELL}&paper=a4&steps={told['corrected']}", content=jpeg_of(printer, own)
    ).json()
    by_itself = measure(photo_of(printer, own), own)
    assert again["darkest"] == pytest.approx(by_itself.darkest, abs=0.3)


@pytest.mark.parametrize(
    "asked",
    [
        "paper=a5&grey=49.5",
        "grey=nothing",
        "grey=0",
        "grey=49.5&steps=1:2",
        "grey=49.5&steps=5:5,1:1",
        "grey=49.5&steps=0:0,nan:10",
    ],
)
def test_what_no_finder_can_be_is_refused_in_a_sentence(browser: Browser, asked: str) -> None:
    answer = browser.get(f"/api/value-finder.pdf?{asked}")
    assert answer.status_code == 400
    assert answer.json()["error"].endswith(".")


def test_another_photo_is_refused_in_a_sentence(browser: Browser) -> None:
    answer = browser.post(TELL, content=(SAMPLES / "orchard-shade.jpg").read_bytes())
    assert answer.status_code == 400
    assert "a.jpg" in answer.json()["error"]
