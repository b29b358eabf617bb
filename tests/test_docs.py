"""The documents say what the program does: commands, options, links and set-up."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest
import typer.main

from refmatch.cli.main import app
from refmatch.dabs.card import PAPERS
from refmatch.paint.kubelka_munk import FINISHES
from refmatch.photo.light import METHODS
from refmatch.photo.picture import GROUNDS
from refmatch.photo.values import LEVELS
from refmatch.sheet.formats import FORMATS

ROOT = Path(__file__).parents[1]
DOCS = sorted([*ROOT.glob("*.md"), *ROOT.glob("docs/*.md"), *ROOT.glob("sample_images/*.md")])
REFERENCE = (ROOT / "docs" / "command-line.md").read_text("utf-8")
README = (ROOT / "README.md").read_text("utf-8")


def commands() -> dict[str, object]:
    found = {}
    group = typer.main.get_command(app)
    for name, command in group.commands.items():  # type: ignore[attr-defined]
        inner = getattr(command, "commands", None)
        if inner is None:
            found[name] = command
        else:
            found |= {f"{name} {each}": inner[each] for each in inner}
    return found


def section_of(command: str) -> str:
    _, _, rest = REFERENCE.partition(f"\n## `refmatch {command}`")
    assert rest, f"docs/command-line.md has no section on {command}"
    return rest.partition("\n## ")[0]


@pytest.mark.parametrize("command", sorted(commands()))
def test_every_command_and_option_is_documented(command: str) -> None:
    section = section_of(command)
    for parameter in commands()[command].params:  # type: ignore[attr-defined]
        for option in parameter.opts:
            if option.startswith("--") and option != "--help":
                assert f"`{option}" in section, f"{command} {option}"


@pytest.mark.parametrize("command", sorted(commands()))
def test_nothing_is_documented_that_is_not_there(command: str) -> None:
    known = {o for p in commands()[command].params for o in p.opts}  # type: ignore[attr-defined]
    table = re.findall(r"^\| `(--[a-z-]+)", section_of(command), flags=re.MULTILINE)
    assert set(table) <= known


@pytest.mark.parametrize(
    ("command", "option", "choices"),
    [
        ("sheet", "--balance", METHODS),
        ("sheet", "--out", FORMATS),
        ("sheet", "--paper", PAPERS),
        ("card", "--paper", PAPERS),
        ("sample", "--ground", GROUNDS),
        ("families", "--values", LEVELS),
        ("predict", "--finish", FINISHES),
    ],
)
def test_help_and_reference_name_every_choice(command: str, option: str, choices) -> None:
    """Help may not load what holds the choices, so it lists them by hand."""
    parameters = commands()[command].params  # type: ignore[attr-defined]
    (shown,) = [f"{p.metavar} {p.help}" for p in parameters if option in p.opts]
    row = section_of(command).partition(f"| `{option}")[2].partition("\n")[0]
    for choice in map(str, choices):
        assert re.search(rf"(?<![\w-]){choice}(?![\w-])", shown), shown
        assert choice in row or f".{choice}" in section_of(command)


@pytest.mark.parametrize("command", sorted(commands()))
def test_every_command_shows_an_example(command: str) -> None:
    epilog = commands()[command].epilog  # type: ignore[attr-defined]
    assert epilog.startswith("Example: refmatch ")
    words = shlex.split(epilog.removeprefix("Example: "))
    known = {o for p in commands()[command].params for o in p.opts}  # type: ignore[attr-defined]
    assert {word for word in words if word.startswith("--")} <= known


def test_readme_begins_with_the_job() -> None:
    first = next(part for part in README.split("\n\n") if not part.startswith("#"))
    for word in ("photo", "tubes", "parts", "sheet"):
        assert word in first


def test_readme_sets_everything_up_in_two_commands_of_one_line() -> None:
    fences = re.findall(r"```(?:sh|bash)\n(.*?)```", README, flags=re.DOTALL)
    set_up = [fence.strip() for fence in fences if "-m venv" in fence]
    assert len(set_up) == 2
    assert all("\n" not in command for command in set_up)
    assert "refmatch sheet" in set_up[0]
    assert "pytest" in set_up[1]


@pytest.mark.parametrize("page", DOCS, ids=lambda page: page.name)
def test_links_and_pictures_lead_somewhere(page: Path) -> None:
    for target in re.findall(r"\]\(([^)#]+?)(?:#[^)]*)?\)", page.read_text("utf-8")):
        if "://" not in target:
            assert (page.parent / target).exists(), f"{page.name}: {target}"
