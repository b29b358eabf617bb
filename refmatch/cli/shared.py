"""Options that several commands share, declared once and handed on as one object."""

from __future__ import annotations

import functools
import inspect
from collections.abc import Callable
from typing import Any

Command = Callable[..., None]


def taking(name: str, gather: Callable[..., Any]) -> Callable[[Command], Command]:
    """Give a command the options of ``gather`` in place of its own parameter ``name``.

    The shell sees the options that ``gather`` declares; the command gets what
    ``gather`` makes of them.
    """

    def decorate(command: Command) -> Command:
        own = inspect.signature(command, eval_str=True).parameters
        shared = inspect.signature(gather, eval_str=True).parameters

        @functools.wraps(command)
        def run(**given: Any) -> None:
            handed = gather(**{key: given.pop(key) for key in shared})
            command(**given, **{name: handed})

        merged: list[inspect.Parameter] = []
        for key, parameter in own.items():
            merged += shared.values() if key == name else [parameter]
        seen = [each.replace(kind=inspect.Parameter.KEYWORD_ONLY) for each in merged]
        run.__signature__ = inspect.Signature(seen)  # type: ignore[attr-defined]
        run.__annotations__ = {each.name: each.annotation for each in seen}
        return run

    return decorate
