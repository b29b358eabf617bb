"""The way in: run a command, and turn what went wrong into one sentence."""

from __future__ import annotations

import sys

import typer

from refmatch import __version__
from refmatch.cli import (
    box,
    card,
    check,
    did,
    families,
    mix,
    nudge,
    plan,
    predict,
    sample,
    sheet,
    studio,
)
from refmatch.cli.remedies import REMEDIES
from refmatch.cli.streams import standard_output
from refmatch.errors import RefmatchError
from refmatch.say.sentence import sentence_of

app = typer.Typer(
    name="refmatch",
    help="From a reference photo to puddles of the right colour, mixed from the tubes you own.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)
app.command("sheet", epilog=sheet.EXAMPLE)(sheet.sheet)
app.command("studio", epilog=studio.EXAMPLE)(studio.studio)
app.command("sample", epilog=sample.EXAMPLE)(sample.sample)
app.command("families", epilog=families.EXAMPLE)(families.families)
app.command("mix", epilog=mix.EXAMPLE)(mix.mix)
app.command("predict", epilog=predict.EXAMPLE)(predict.predict)
app.command("nudge", epilog=nudge.EXAMPLE)(nudge.nudge)
app.command("plan", epilog=plan.EXAMPLE)(plan.plan)
app.command("did", epilog=did.EXAMPLE)(did.did)
app.command("card", epilog=card.EXAMPLE)(card.card)
app.command("check", epilog=check.EXAMPLE)(check.check)
app.add_typer(box.app, name="box")


def _show_version(wanted: bool) -> None:
    if wanted:
        print(f"refmatch {__version__}")
        raise typer.Exit()


@app.callback()
def _about(
    version: bool = typer.Option(
        False, "--version", callback=_show_version, is_eager=True, help="Say the version and stop."
    ),
) -> None:
    """From a reference photo to puddles of the right colour, mixed from the tubes you own."""


def main() -> None:
    """Run the command line; a painter's error is one sentence on standard error."""
    try:
        with standard_output():
            app()
    except RefmatchError as error:
        print(f"refmatch: {sentence_of(error, REMEDIES)}", file=sys.stderr)
        sys.exit(error.exit_code)
    except MemoryError:
        print(
            "refmatch: this needs more memory than there is; use a smaller photo.", file=sys.stderr
        )
        sys.exit(1)
