"""The licence is stated as packaging tools read it, and so is what is not ours.

Sources: PEP 639 (`license` is an SPDX expression, `license-files` are globs); the installed
packages' own words on their licences.
"""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import fontpkg_fira_sans
import pytest
from packaging.licenses import canonicalize_license_expression

ROOT = Path(__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
LICENCES = (ROOT / "docs" / "licences.md").read_text("utf-8")


def test_the_licence_is_an_expression_with_its_text_beside_it() -> None:
    assert canonicalize_license_expression(PROJECT["license"]) == "MIT"
    (text,) = [path for glob in PROJECT["license-files"] for path in ROOT.glob(glob)]
    words = " ".join(text.read_text("utf-8").split())
    assert "Permission is hereby granted, free of charge, to any person" in words
    assert 'THE SOFTWARE IS PROVIDED "AS IS", WITHOUT WARRANTY OF ANY KIND' in words


def test_no_licence_stands_at_the_top() -> None:
    assert not list(ROOT.glob("LICEN[CS]E*"))


def all_named() -> list[str]:
    named = [*PROJECT["dependencies"], *PROJECT["optional-dependencies"]["raw"]]
    return [re.split(r"[<>=\[]", each)[0] for each in named]


@pytest.mark.parametrize("name", all_named())
def test_every_library_that_is_brought_along_is_listed(name: str) -> None:
    assert f"| {name} |" in LICENCES


DATA = sorted(
    path.relative_to(ROOT / "refmatch").as_posix()
    for pattern in ("*/data/*.json", "paint/*.toml")
    for path in (ROOT / "refmatch").glob(pattern)
)


@pytest.mark.parametrize("path", [*DATA, "paint/data/*.toml", "tests/data/oils.csv"])
def test_every_table_is_listed_with_its_origin(path: str) -> None:
    assert f"`{path}`" in LICENCES


def test_the_font_is_under_the_licence_that_is_listed() -> None:
    text = (Path(fontpkg_fira_sans.__file__).parent / "LICENSE").read_text("utf-8")
    assert "SIL Open Font License, Version 1.1" in text
    assert "| fontpkg-fira-sans | SIL Open Font License 1.1 |" in LICENCES
