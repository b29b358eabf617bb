"""`refmatch box measure` and `refmatch box advise`, as a painter would run them."""

from __future__ import annotations

import numpy as np

from tests.paint.test_measure import MIXES, files


def test_the_command_says_how_well_each_tube_is_known(refmatch, tmp_path):
    asked = files(tmp_path)
    words = ["box", "measure", str(asked.file), "--painted", str(asked.plan), "--specular"]
    words += ["excluded", "--by", "mass", "--out", str(tmp_path / "mine.toml"), "--json"]
    told = refmatch(*words).json()
    assert [tube["swatches"] for tube in told["box"]["tubes"]] == [5, 3, 3]
    assert len(told["swatches"]) == len(MIXES)
    assert set(told["saunderson"]) == {"k1", "k2"}
    mixed = refmatch("predict", "PB29=1", "PW6=4", "--box", tmp_path / "mine.toml", "--json").json()
    doubt = mixed["uncertainty_delta_e_00"]
    assert 0.0 < doubt["p50"] < doubt["p90"] < 3.0
    assert np.linalg.eigvalsh(np.array(mixed["covariance"])).min() > 0.0
    assert not mixed["flags"]


def test_the_dabs_to_paint_next_are_told_for_a_few_colours(refmatch):
    told = refmatch("box", "advise", "62,14,38", "30,0,-30", "--count", "2", "--json").json()
    assert len(told["dabs"]) == 2
    assert told["dabs"][0]["doubt_delta_e_00_after"] < told["dabs"][0]["doubt_delta_e_00_before"]
    assert all(portion["parts"] > 0.0 for dab in told["dabs"] for portion in dab["portions"])
    assert "Paint and measure" in refmatch("box", "advise", "62,14,38").out


def test_what_cannot_be_measured_is_one_sentence(refmatch, tmp_path):
    asked = files(tmp_path)
    out = tmp_path / "b.toml"
    ran = refmatch("box", "measure", asked.file, "--painted", asked.plan, "--out", out)
    assert (ran.code, ran.out) == (1, "")
    assert ran.err.startswith("refmatch: Was the surface's shine")
    assert refmatch("box", "advise").code == 2


def test_the_option_is_still_taken_by_its_older_name(refmatch, tmp_path):
    """``--plan`` means one thing, the plan of a painting; here it is hidden, and does its work."""
    asked, out = files(tmp_path), tmp_path / "mine.toml"
    more = ("--specular", "excluded", "--by", "mass", "--out", out)
    ran = refmatch("box", "measure", asked.file, "--plan", asked.plan, *more)
    assert ran.code == 0
    assert "--plan is called --painted" in ran.err
    assert out.is_file()
    assert "--plan " not in refmatch("box", "measure", "-h").out
    unsaid = refmatch("box", "measure", asked.file, "--out", out)
    assert unsaid.code == 2
    assert "needs --painted" in unsaid.err
