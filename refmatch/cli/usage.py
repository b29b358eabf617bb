"""What is wrong with a command as it was typed, in our words and not the parser's."""

from __future__ import annotations

import difflib
import re
from typing import Any

import typer

from refmatch.cli.help import example_of

WrongUsage: type[Exception] = typer.BadParameter.__bases__[0]
"""The parser's errors; it names only this one of them in public."""

MOVED = {("plan", "--tubes"): "--palette"}
"""Options by command that were called otherwise once, and what they are called now."""

KINDS = {
    "less than or equal to": "at most",
    "greater than or equal to": "at least",
    "in the range": "a number such that",
    "integer": "a whole number",
    "number": "a number",
    "float": "a number",
}
"""What the parser says of a value it cannot take, and what we say; a figure may follow."""


def usage_sentence(error: Any) -> str:
    """Return one sentence: what was typed wrongly, and what to type instead."""
    say = SAY.get(type(error).__name__, _other)
    return say(error)


def _no_option(error: Any) -> str:
    name, command = error.option_name, error.ctx.command
    moved = MOVED.get((command.name, name))
    if moved:
        return f"'{_path(error)}' counts its tubes with {moved}; {name} is for recipes."
    known = [option for one in command.params for option in one.opts if option.startswith("--")]
    return f"'{_path(error)}' has no option {name}; {_near(name, known)}{_see(error)}."


def _nothing_after(error: Any) -> str:
    if "not take a value" in error.message:
        return f"{error.option_name} stands alone: leave out what comes after the '='."
    return f"{error.option_name} needs something after it; 'refmatch COMMAND -h' says what."


def _missing(error: Any) -> str:
    parameter = error.param
    name = parameter.metavar if parameter.param_type_name == "argument" else _option(parameter)
    words = (parameter.help or "").rstrip(".")
    about = f" ({words[0].lower()}{words[1:]})" if words else ""
    example = example_of(error.ctx.command)
    like = f"; such as: {example}" if example else ""
    return f"'{_path(error)}' needs {name}{about}{like}"


def _wrong_value(error: Any) -> str:
    parameter = error.param
    name = parameter.metavar if parameter.param_type_name == "argument" else _option(parameter)
    said = next((said for said in KINDS if said in error.message), None)
    figure = re.search(rf"{said} ([\d.<=x]*\d)", error.message) if said else None
    needs = f"takes {KINDS[said]}" if said else "cannot be that"
    return f"{name} {needs}{f' {figure[1]}' if figure else ''}; {_see(error)}."


def _other(error: Any) -> str:
    command = getattr(error.ctx, "command", None)
    quoted = re.search(r"['\"(](.*?)['\")]", error.message.replace("argument(s)", "argument"))
    word = quoted[1] if quoted else ""
    known = list(getattr(command, "commands", ()) or ())
    if known and not word:
        return f"'{_path(error)}' needs a command; {_see(error)}."
    if known:
        return f"'{_path(error)}' has no command '{word}'; {_near(word, known)}{_see(error)}."
    return f"'{_path(error)}' has no place for '{word}'; {_see(error)}."


SAY = {
    "NoSuchOption": _no_option,
    "BadOptionUsage": _nothing_after,
    "MissingParameter": _missing,
    "BadParameter": _wrong_value,
}
"""The parser's errors by their names; every other is told by `_other`."""


def _path(error: Any) -> str:
    return str(error.ctx.command_path) if error.ctx else "refmatch"


def _see(error: Any) -> str:
    return f"'{_path(error)} -h' shows all there is"


def _near(word: str, known: list[str]) -> str:
    near = difflib.get_close_matches(word, known, n=2)
    return f"did you mean {' or '.join(near)}? " if near else ""


def _option(parameter: Any) -> str:
    return f"{parameter.opts[0]} {parameter.metavar or ''}".rstrip()
