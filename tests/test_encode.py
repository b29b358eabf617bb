"""The encoder: rounded, null where unknown, a flag with its sentence, nothing of a type lost."""

from __future__ import annotations

import dataclasses
import importlib
import json
import pkgutil
from collections import Counter
from pathlib import Path

import numpy as np

import refmatch
from refmatch.encode import dump, encode, envelope
from refmatch.encode.forms import FORMS
from refmatch.errors import UnknownTube
from refmatch.flag import Flag, flag_of
from refmatch.recipe.model import Laid, Step


def test_a_step_is_an_object_by_its_fields():
    said = Flag("strong_tube", "Go easy.")
    step = Step("add", "Add 1.", "ultramarine", 1.0, np.array([50.00004, -0.0, 1.23456]), (said,))
    assert encode(step) == {
        "action": "add",
        "text": "Add 1.",
        "tube": "ultramarine",
        "parts": 1.0,
        "lab": [50.0, 0.0, 1.2346],
        "flags": [{"name": "strong_tube", "text": "Go easy."}],
    }


def test_what_is_not_known_is_null_and_all_is_plain():
    content = {
        "a": np.nan,
        "b": [np.inf, np.float32(0.5), np.int64(3), np.bool_(True)],
        "x_px": 1.23456,
        "c": Path("a") / "b.pdf",
        "d": np.array([[0.1, np.nan]]),
        "e": (Laid("ochre", 2),),
    }
    encoded = encode(content)
    assert encoded == {
        "a": None,
        "b": [None, 0.5, 3, True],
        "x_px": 1.235,
        "c": str(Path("a") / "b.pdf"),
        "d": [[0.1, None]],
        "e": [{"tube": "ochre", "parts": 2, "let_down_white_parts": 0}],
    }
    assert json.loads(dump(envelope(content)))["viewing"]["illuminant"] == "D50"


def test_bare_colours_stay_for_a_door_that_shows_them():
    lab = np.array([50.0, 1.0, 2.0])
    encoded = encode({"lab": lab, "matrix": np.eye(2)}, bare=True)
    assert encoded["lab"] is lab
    assert encoded["matrix"] == [[1.0, 0.0], [0.0, 1.0]]


def test_a_sentence_has_the_remedy_of_its_door(monkeypatch):
    flag = flag_of(UnknownTube("teal", ["ochre"]))
    monkeypatch.setattr(
        "refmatch.say.sentence._all", lambda: ({flag.name: "No {tube}; {remedy}."}, {})
    )
    said = [encode(flag, {flag.name: remedy})["text"] for remedy in ("give --box", "tap a tube")]
    assert said == ["No teal; give --box.", "No teal; tap a tube."]


def test_each_form_is_of_one_type_that_there_is():
    """Forms go by a type's name: two types of one name would be taken for each other."""
    names = Counter(kind.__name__ for kind in _types())
    assert {name: names[name] for name in FORMS} == dict.fromkeys(FORMS, 1)


def _types() -> set[type]:
    kinds = set()
    for info in pkgutil.walk_packages(refmatch.__path__, "refmatch."):
        if not info.name.endswith("__main__"):
            module = importlib.import_module(info.name)
            kinds |= {kind for kind in vars(module).values() if isinstance(kind, type)}
    made = (kind for kind in kinds if kind.__module__.startswith("refmatch."))
    return {kind for kind in made if dataclasses.is_dataclass(kind) or issubclass(kind, tuple)}
