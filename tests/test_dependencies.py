"""What the program imports is what its installation brings."""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from pathlib import Path

import numpy as np
from scipy.linalg import block_diag as by_scipy

from refmatch.dabs.measured import block_diag

ROOT = Path(__file__).parents[1]
CALLED = {"opencv-python": "cv2", "pillow": "PIL", "fontpkg-fira-sans": "fontpkg_fira_sans"}
"""Packages that are imported under another name."""

BROUGHT_ALONG = {"xsdata", "h11"}
"""By these colour-cxf reads and writes, and uvicorn speaks; whoever has the one has the other."""


def test_nothing_is_imported_that_is_not_installed_with_it() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    needed = [*project["dependencies"], *project["optional-dependencies"]["raw"]]
    named = [re.split(r"[<>=\[]", each)[0] for each in needed]
    brought = {CALLED.get(name, name.replace("-", "_")) for name in named} | BROUGHT_ALONG
    for path in (ROOT / "refmatch").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            if isinstance(node, ast.ImportFrom) and node.module:
                names = [node.module]
            for name in names:
                top = name.partition(".")[0]
                known = top in sys.stdlib_module_names or top == "refmatch" or top in brought
                assert known, f"{path.name} imports {name}"


def test_blocks_lie_as_scipy_lays_them() -> None:
    rng = np.random.default_rng(1)
    blocks = [rng.normal(size=(n, n)) for n in (3, 1, 6)]
    np.testing.assert_array_equal(block_diag(*blocks), by_scipy(*blocks))
