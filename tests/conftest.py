"""What holds for every test: one thread of linear algebra.

The solver's matrices are small: on a busy machine threads wait for each other longer than
they work, and its exam takes more than twice as long. That they change no mass of a
picture and no recipe has tests of its own (`photo/test_families`, `recipe/test_solve`).
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
