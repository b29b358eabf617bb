"""Each step of the page on a disk that fails in each way, from each of its calls on.

``python -m tests.benchmarks.failing_disk`` prints how many calls of the disk each was tried at.
What is answered must be there, and the rest refused (`tests/web/test_full_disk.py`).
"""

from __future__ import annotations

import errno
import tempfile
from pathlib import Path

from tests.web.test_full_disk import CODES, STEPS, begun_in, calls_tried


def main() -> None:
    """Try them all."""
    with tempfile.TemporaryDirectory() as shelf:
        begun = begun_in(Path(shelf) / "paintings")
        for step in STEPS:
            for code in CODES:
                with tempfile.TemporaryDirectory() as folder:
                    calls = calls_tried(begun, Path(folder), step, code)
                print(f"{step}, {errno.errorcode[code]}: {calls} calls", flush=True)


if __name__ == "__main__":
    main()
