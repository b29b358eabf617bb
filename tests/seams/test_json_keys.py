"""No key of what a command says in JSON is ever lost: `json_keys.json` has them all.

A key may be added: write its path there.
"""

from __future__ import annotations

import json
from collections import defaultdict
from pathlib import Path

from tests.cli.running import Shell
from tests.seams.json_commands import paths, said_by

KEYS = json.loads(Path(__file__).with_name("json_keys.json").read_text("utf-8"))


def test_every_key_is_still_said(refmatch: Shell, tmp_path: Path) -> None:
    said = defaultdict(set)
    for name, content in said_by(refmatch, tmp_path):
        said[name] |= set(paths(content))
    assert set(said) == set(KEYS)
    lost = {name: sorted(set(KEYS[name]) - said[name]) for name in KEYS}
    assert not any(lost.values()), lost
