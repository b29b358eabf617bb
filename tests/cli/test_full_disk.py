"""Every command on a disk that is full, read-only, worn or pulled out, at each write in turn."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from typer.main import get_command

from refmatch.cli.main import app
from tests import faults, writers


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return writers.lay_out(tmp_path_factory.mktemp("commands") / "begun")


@pytest.mark.parametrize("name", writers.COMMANDS)
def test_what_is_acknowledged_is_there_and_the_rest_refused(
    begun: Path, tmp_path: Path, name: str
) -> None:
    """`tests.benchmarks.failing_disk` tries every kind of failure at every call."""
    trial, turn = writers.Trial(name, begun, tmp_path), list(writers.COMMANDS).index(name)
    assert trial.calls >= 4
    for first, disk in writers.some(trial.calls, turn):
        trial.at(first, disk)


@pytest.mark.parametrize("name", writers.READ_ONLY)
def test_what_only_reads_writes_nothing(begun: Path, name: str) -> None:
    with faults.failing_disk(0, faults.READ_ONLY, stays=True) as disk:
        ran = writers.run(writers.READ_ONLY[name], begun)
    assert ran.code == 0, ran.err
    assert disk.calls == 0


def commands(group: Any, *names: str) -> Iterator[str]:
    for name, command in group.commands.items():
        if hasattr(command, "commands"):
            yield from commands(command, *names, name)
        else:
            yield " ".join((*names, name))


def test_every_command_is_tried() -> None:
    tried = {name.partition(",")[0] for name in writers.COMMANDS}
    assert not tried & set(writers.READ_ONLY)
    assert tried | set(writers.READ_ONLY) == set(commands(get_command(app)))
