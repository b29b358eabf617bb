"""Whatever is done to a file that somebody else may have written, it is read or refused.

Seeds are fixed, so that what is found once is found again;
``python -m tests.benchmarks.damaged_files`` does the same for thousands of each kind.
"""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tests.damage import damaged, parsers, try_to_read

TIMES, SEED = 40, 1729


@pytest.mark.parametrize("kind", parsers())
def test_a_damaged_file_is_read_or_refused_in_a_sentence(kind: str, tmp_path: Path) -> None:
    parser = parsers()[kind]
    path = tmp_path / kind.rpartition(" ")[2]
    assert try_to_read(parser, parser.whole, path)
    chance = random.Random(f"{SEED} {kind}")
    for _ in range(TIMES):
        try_to_read(parser, damaged(parser.whole, chance), path)
