"""Scripts that no test runs still name modules and things that there are.

The renderer of the sample images, the derivations and the benchmarks take hours or libraries that
a test run does without; a module that moved would break them unnoticed.
"""

from __future__ import annotations

import ast
import importlib
from pathlib import Path

import pytest

TOP = Path(__file__).parents[1]
FOLDERS = ("docs/derivations", "sample_images/render", "tests/benchmarks")
SCRIPTS = sorted(path for folder in FOLDERS for path in (TOP / folder).rglob("*.py"))


def imports_of_ours(script: Path) -> list[tuple[str, str]]:
    """Every (module, name) that a script takes from this project, wherever in it it does."""
    tree = ast.parse(script.read_text(encoding="utf-8"))
    return [
        (node.module, alias.name)
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and node.level == 0 and node.module
        if node.module.split(".")[0] in {"refmatch", "tests"}
        for alias in node.names
    ]


def is_there(module: str, name: str) -> bool:
    try:
        if hasattr(importlib.import_module(module), name):
            return True
        importlib.import_module(f"{module}.{name}")
    except ModuleNotFoundError:
        return False
    return True


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda path: str(path.relative_to(TOP)))
def test_a_script_imports_what_there_is(script: Path) -> None:
    gone = [f"{m}.{n}" for m, n in imports_of_ours(script) if not is_there(m, n)]
    assert not gone
