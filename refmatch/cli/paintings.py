"""``refmatch painting``: what can be done with a painting's folder itself."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from refmatch.cli import help
from refmatch.cli.options import Json

app = typer.Typer(
    help="What can be done with a painting's folder.",
    cls=help.Commands,
    no_args_is_help=True,
    context_settings=help.HELP,
    rich_markup_mode=None,
)


@app.callback()
def _group() -> None:
    """What can be done with a painting's folder."""


@app.command("rescue", epilog="Example: refmatch painting rescue table")
def rescue(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="The painting's folder.")],
    as_json: Json = False,
) -> None:
    """Go back to the newest whole state of a damaged painting; damaged files are kept beside."""
    from refmatch.cli.json import print_json
    from refmatch.painting.rescue import rescue as rescued

    result = rescued(folder)
    if as_json:
        content = {
            "painting": folder,
            "title": result.painting.title,
            "saved_at": result.saved_at,
            "kept_beside": list(result.kept_beside),
        }
        print_json(content)
        return
    if result.saved_at is None:
        print(f"'{result.painting.title}' is as it was; earlier steps cannot be taken back.")
    else:
        print(f"'{result.painting.title}' is again as it was saved at {result.saved_at}.")
    for path in result.kept_beside:
        print(f"The damaged file is kept as {path}.")
