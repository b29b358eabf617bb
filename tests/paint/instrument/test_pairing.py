"""Plan and measurements meet by SAMPLE_ID, or by a name that is the only one of its kind."""

from __future__ import annotations

import numpy as np
import pytest

from refmatch.errors import MeasurementError
from refmatch.paint.instrument.reading import Measurements, Reading
from refmatch.paint.instrument.sample_plan import pair, plan_from_text
from refmatch.say.sentence import sentence_of

HEAD = "sample_id,tube,parts,pigment,backing\n"
PLAN = plan_from_text(HEAD + "blue,PB29,1\nwhite,PW6,1\npaper,,,,white\n", "PLAN.csv")


def measured(*named: tuple[str, str]) -> Measurements:
    grey = np.full(31, 0.5)
    return Measurements(tuple(Reading(key, grey, None, None, name) for key, name in named))


def test_by_id() -> None:
    paired = pair(PLAN, measured(("paper", ""), ("white", ""), ("blue", "")))
    assert [(p.sample_id, r.sample_id) for p, r in paired.samples] == [
        ("blue", "blue"),
        ("white", "white"),
    ]
    assert paired.grounds["white"].sample_id == "paper"
    assert paired.flags == ()


def test_by_name_where_the_instrument_numbers() -> None:
    paired = pair(PLAN, measured(("1", "Blue"), ("2", "white"), ("3", "paper"), ("4", "table")))
    assert [r.sample_id for _, r in paired.samples] == ["1", "2"]
    assert paired.grounds["white"].sample_id == "3"
    (flag,) = paired.flags
    assert flag.name == "not_planned"
    assert sentence_of(flag) == "The plan does not speak of 4; these measurements were not used."


@pytest.mark.parametrize(
    ("readings", "line", "says"),
    [
        (measured(("blue", ""), ("white", "")), 4, "plans 'paper', which the measurements do not"),
        (measured(("bleu", ""), ("white", ""), ("paper", "")), 2, "did you mean bleu"),
        (measured(("1", "blue"), ("2", "blue"), ("3", "white")), 2, "the name of several: 1, 2"),
        (
            measured(("blue", "white"), ("9", "paper")),
            3,
            "the same measurement as 'blue' in line 2",
        ),
    ],
)
def test_what_does_not_meet_is_refused_with_the_plans_line(readings, line, says) -> None:
    with pytest.raises(MeasurementError) as refused:
        pair(PLAN, readings)
    assert sentence_of(refused.value).startswith(f"Line {line} of 'PLAN.csv' plans ")
    assert says in sentence_of(refused.value)
