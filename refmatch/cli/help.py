"""The help: commands and options in groups, in the order of the job, in whole sentences.

A group is the ``rich_help_panel`` that a command or an option is declared with; each group of
commands ends with one example, the shortest of its commands'.
"""

from __future__ import annotations

from typing import Any

import typer
from typer.core import TyperCommand, TyperGroup

HELP: dict[str, Any] = {"help_option_names": ["-h", "--help"], "max_content_width": 88}
"""The settings of every command: `-h` does what `--help` does."""

EXAMPLE = "Example: "

PAGE = "The page: the whole job by clicking"
LOOK = "First, look at the photo"
TUBES = "Say which tubes are yours"
MIX = "Mix a colour"
PLAN = "Plan the whole painting"
PRINT = "Print the sheet for the easel"
CHECK = "Check your dabs, and put them right"

TEACH = "Teach a class"

KEEP = "Look after a painting's folder"

JOB = (PAGE, LOOK, TUBES, MIX, PLAN, PRINT, CHECK, TEACH, KEEP)
"""The steps of the job in their order; any other keep the order they are declared in."""

ABOUT_PHOTO = "The photo and its light"
ABOUT_RECIPES = "The recipes"
OPTIONS = "Options"


class Command(TyperCommand):
    """A command whose options stand in groups."""

    def collect_usage_pieces(self, ctx: Any) -> list[str]:
        """Return the parts of the usage line; what must be given stands bare."""
        return [piece.strip("{}") for piece in super().collect_usage_pieces(ctx)]

    def format_options(self, ctx: Any, formatter: Any) -> None:
        """Write arguments, then the command's own options, then those it shares."""
        groups: dict[str, list[tuple[str, str]]] = {"Arguments": [], OPTIONS: []}
        for parameter in self.get_params(ctx):
            record = parameter.get_help_record(ctx)
            if record is None:
                continue
            is_argument = parameter.param_type_name == "argument"
            shared = getattr(parameter, "rich_help_panel", None)
            words = (str(parameter.metavar), record[1]) if is_argument else record
            group = "Arguments" if is_argument else shared or OPTIONS
            groups.setdefault(group, []).append(words)
        for group, records in groups.items():
            if records:
                with formatter.section(group):
                    formatter.write_dl(records)


class Commands(TyperGroup):
    """A group of commands that lists them by the order of the job, one example to each step."""

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        """Write each step of the job with its commands and an example."""
        steps: dict[str, list[Any]] = {}
        for command in self.commands.values():
            step = getattr(command, "rich_help_panel", None)
            steps.setdefault(step if isinstance(step, str) else "Commands", []).append(command)
        order = {step: i for i, step in enumerate(JOB)}
        for step, commands in sorted(steps.items(), key=lambda pair: order.get(pair[0], 0)):
            with formatter.section(step):
                formatter.write_dl([(command.name, command.help or "") for command in commands])
                example = min(filter(None, map(example_of, commands)), key=len, default="")
                if example:
                    formatter.write_paragraph()
                    formatter.write_text(f"{EXAMPLE}{example}")


def example_of(command: Any) -> str:
    """Return a command's example as it is typed; of a group, its first command's."""
    inner = getattr(command, "commands", None)
    if inner:
        return next(filter(None, map(example_of, inner.values())), "")
    return (command.epilog or "").removeprefix(EXAMPLE)


def add(app: typer.Typer, step: str, **commands: tuple[Any, str]) -> None:
    """Add the commands of one step of the job, each by its name with its example."""
    for name, (command, example) in commands.items():
        app.command(name, cls=Command, epilog=example, rich_help_panel=step, context_settings=HELP)(
            command
        )
