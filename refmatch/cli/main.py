"""The way in: run a command, and turn what went wrong into one sentence."""

from __future__ import annotations

import sys

import typer

from refmatch import __version__
from refmatch.cli import box, dabs, mixing, paintings, sheet, studio
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
app.command("sheet", epilog=sheet.SHEET_EXAMPLE)(sheet.sheet)
app.command("studio", epilog=studio.EXAMPLE)(studio.studio)
app.command("sample", epilog=sheet.SAMPLE_EXAMPLE)(sheet.sample)
app.command("families", epilog=sheet.FAMILIES_EXAMPLE)(sheet.families)
app.command("mix", epilog=mixing.MIX_EXAMPLE)(mixing.mix)
app.command("predict", epilog=mixing.PREDICT_EXAMPLE)(mixing.predict)
app.command("nudge", epilog=mixing.NUDGE_EXAMPLE)(mixing.nudge)
app.command("plan", epilog=sheet.PLAN_EXAMPLE)(sheet.plan)
app.command("did", epilog=dabs.DID_EXAMPLE)(dabs.did)
app.command("card", epilog=dabs.CARD_EXAMPLE)(dabs.card)
app.command("check", epilog=dabs.CHECK_EXAMPLE)(dabs.check)
app.add_typer(box.app, name="box")
app.add_typer(paintings.app, name="painting")


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
