"""What holds for every test: one thread of linear algebra, and nothing compiled twice.

The solver's matrices are small: on a busy machine threads wait for each other longer than
they work, and its exam takes more than twice as long. That they change no mass of a
picture and no recipe has tests of its own (`photo/test_families`, `recipe/test_solve`).
"""

from __future__ import annotations

import gc
import os
import sys

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# A run starts the program and its scripts some hundred times, and each worker rewrites the
# asserts of all files: what is compiled is kept, whatever the shell says (git ignores it).
sys.dont_write_bytecode = False
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)


def pytest_collection_finish() -> None:
    """Spare the collector what stays to the end anyway: all modules and tests.

    A painting that is put away is collected at once, and each time that would look at them all.
    """
    gc.collect()
    gc.freeze()
