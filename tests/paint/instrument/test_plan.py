"""PLAN.csv as hands and spreadsheets write it; every complaint holds its line."""

from __future__ import annotations

import pytest

from refmatch.errors import MeasurementError
from refmatch.paint.instrument.sample_plan import Component, plan_from_text, read_plan
from refmatch.say.sentence import sentence_of
from tests.refusals import refused

ORCHARD = """\
# the orchard, in June
sample_id,tube,parts,pigment,backing,finish
w,titanium white,1,PW6,,gloss
u1,ultramarine,1,PB29,none,gloss
u1,titanium white,9

u2,Ultramarine,0.5,,black,satin
u2,titanium white,9.5,,black
paper,,,,white
card,,,,black
"""


def test_rows_make_mixtures_and_grounds() -> None:
    plan = plan_from_text(ORCHARD)
    assert [each.sample_id for each in plan.samples] == ["w", "u1", "u2"]
    first = plan.samples[1]
    assert first.components == (
        Component("ultramarine", 1.0, "PB29"),
        Component("titanium white", 9.0, "PW6"),
    )
    assert (first.backing, first.finish, first.line) == ("none", "gloss", 4)
    assert plan.samples[2].components[0] == Component("ultramarine", 0.5, "PB29")
    assert (plan.samples[2].backing, plan.samples[2].finish) == ("black", "satin")
    assert {key: each.sample_id for key, each in plan.grounds.items()} == {
        "white": "paper",
        "black": "card",
    }


@pytest.mark.parametrize("separator", [";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "latin-1"])
def test_spreadsheets_write_it_their_own_way(separator, end, encoding, tmp_path) -> None:
    text = ORCHARD.replace(",", separator).replace(".5", ",5").replace("\n", end)
    text = text.replace("card", "café").replace(f"{end}{end}", f"{end}{separator * 5}{end}")
    path = tmp_path / "PLAN.csv"
    path.write_bytes(text.encode(encoding))
    plan = read_plan(path)
    assert plan.samples == plan_from_text(ORCHARD).samples
    assert plan.grounds["black"].sample_id == "café"


def test_columns_in_any_order_quotes_and_decimal_commas_between_commas() -> None:
    text = 'Tube,Parts,Sample ID\n"PB29","1,5","a, thin"\nPW6,8.5,"a, thin"\n'
    (sample,) = plan_from_text(text).samples
    assert sample.sample_id == "a, thin"
    assert sample.components == (Component("PB29", 1.5), Component("PW6", 8.5))


def test_a_spreadsheet_may_say_its_separator_first() -> None:
    (sample,) = plan_from_text("sep=;\nsample_id;tube;parts\na;PB29;0,5\n").samples
    assert (sample.line, sample.components) == (3, (Component("PB29", 0.5),))


HEAD = "sample_id,tube,parts,pigment,backing,finish\n"


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("sample_id,tube,parts,colour\n", 1, "names the column 'colour', unknown to a plan"),
        ("sample_id,tube,part\n", 1, "did you mean parts"),
        ("sample_id,tube\na,b\n", 1, "names no column parts"),
        ("sample_id,tube,parts,tube\n", 1, "names the column tube twice"),
        (HEAD + "a,PB29\n", 2, "says no parts of 'PB29'"),
        (HEAD + "a,PB29,0\n", 2, "has 0 parts of 'PB29'"),
        (HEAD + "a,PB29,-1\n", 2, "has -1 parts of 'PB29'"),
        (HEAD + "a,PB29,some\n", 2, "the parts 'some' of 'PB29', which is no number"),
        (HEAD + "a,PB29,1e999\n", 2, "which is no number"),
        (HEAD + "a,,1\n", 2, "gives 1 parts of no tube"),
        (HEAD + "a,,\n", 2, "names no tube and no ground"),
        (HEAD + ",PB29,1\n", 2, "names no sample"),
        (HEAD + "a,PB29,1\na,pb29,2\n", 3, "a second time, after line 2"),
        (HEAD + "a,PB29,1,,white\n\na,PW6,1,,black\n", 4, "the backing black, but line 2 says"),
        (HEAD + "a,PB29,1,,,gloss\na,PW6,1,,,matt\n", 3, "the finish matt, but line 2 says gloss"),
        (HEAD + "a,PB29,1,,grey\n", 2, "has the backing 'grey'; it is white, black, none"),
        (HEAD + "a,PB29,1,,,shiny\n", 2, "has the finish 'shiny'; it is gloss, satin, matt"),
        (HEAD + "a,PB29,1\na,,,,white\n", 3, "names no tube, but the sample 'a' has other rows"),
        (HEAD + "a,PB29,1\np,,,,white\nq,,,,white\n", 4, "bare white ground a second time"),
        (HEAD + "a,x,1,PB29\nb,x,1,PB15\n", 3, "the pigment PB15, but it was PB29 before"),
        (HEAD + "a,PB29,1,5\n", 2, "has the pigment '5', a number"),
        (HEAD + "a,PB29,1,,,,7\n", 2, "has more cells than the 6 columns"),
        (HEAD + 'a,"PB29,1\n', 2, "has quotes that do not pair"),
    ],
)
def test_every_complaint_holds_its_line(text, line, says) -> None:
    with pytest.raises(MeasurementError) as refused:
        plan_from_text(text, "PLAN.csv")
    assert sentence_of(refused.value).startswith(f"Line {line} of 'PLAN.csv' ")
    assert says in sentence_of(refused.value)
    assert sentence_of(refused.value).endswith(".")


@pytest.mark.parametrize("text", ["", "\n\n", "# only a comment\n"])
def test_an_empty_plan(text) -> None:
    with refused(MeasurementError, match="'the plan' is empty; begin with the row sample_id,"):
        plan_from_text(text)


def test_a_plan_of_grounds_alone() -> None:
    with refused(MeasurementError, match="plans no sample with paint"):
        plan_from_text(HEAD + "p,,,,white\n")


def test_a_plan_that_is_not_there(tmp_path) -> None:
    with refused(MeasurementError, match=r"PLAN\.csv' cannot be read \(no such file"):
        read_plan(tmp_path / "PLAN.csv")
