"""One thread for linear algebra, unless the environment says otherwise.

The solver's matrices are small: on a busy machine threads wait for each other longer than
they work, and its exam takes more than twice as long. That they change no mass of a
picture has a test of its own (`photo/test_families`).
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
