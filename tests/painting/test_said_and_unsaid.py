"""What may be said or left unsaid of a painting survives its file and its history."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from refmatch.painting.asked import Asked, AskedHole, AskedPhoto
from refmatch.painting.form import asked_from_dict, asked_to_dict
from refmatch.painting.history import History, read_history
from refmatch.photo.light.balance import AskedLight
from refmatch.photo.load import Frame

PLAIN = Asked("Pears", "")
SKY = AskedPhoto("sky", "photos/aa.jpg", "aa", AskedLight("grey-edge"), Frame(1, 2, 30, 40))
HOLE = AskedHole("h1", 5.0, 6.0, 7.0)
SAID = [
    replace(PLAIN, ground="toned"),
    replace(PLAIN, photos=(SKY,), holes=(replace(HOLE, photo="sky"),)),
    replace(PLAIN, holes=(replace(HOLE, layer="glaze", medium="alkyd", medium_percent=12.5),)),
    replace(PLAIN, holes=(replace(HOLE, dry=(50.0, -1.5, 0.25)),)),
]


@pytest.mark.parametrize("asked", SAID)
def test_what_is_said_survives(asked: Asked) -> None:
    assert asked_from_dict(asked_to_dict(asked)) == asked


def test_what_is_not_said_is_not_written() -> None:
    form = asked_to_dict(replace(PLAIN, holes=(HOLE,)))
    assert not {"ground", "photos"} & form.keys()
    assert not {"layer", "medium", "medium_percent", "dry", "photo"} & form["holes"][0].keys()


@pytest.mark.parametrize("asked", SAID)
def test_a_step_back_to_saying_nothing_is_read_as_it_was(asked: Asked, tmp_path: Path) -> None:
    """A history line holds only what changed; what is left out of a form has changed, too."""
    history, after = History(tmp_path), None
    for state in (PLAIN, asked, PLAIN):
        after = history.record(state, "a change", after)
    assert [read_history(tmp_path).asked(step) for step in (1, 2, 3)] == [PLAIN, asked, PLAIN]
