"""The way in: run a command, and turn what went wrong into one sentence."""

from __future__ import annotations

import sys

import typer

from refmatch import __version__
from refmatch.cli import (
    box,
    canvas,
    classes,
    dabs,
    demonstrations,
    help,
    mixing,
    paintings,
    sheet,
    studio,
)
from refmatch.cli.remedies import REMEDIES
from refmatch.cli.streams import standard_output
from refmatch.cli.usage import WrongUsage, usage_sentence
from refmatch.errors import RefmatchError
from refmatch.say.sentence import sentence_of

app = typer.Typer(
    name="refmatch",
    cls=help.Commands,
    help="From a reference photo to puddles of the right colour, mixed from the tubes you own.",
    no_args_is_help=True,
    add_completion=True,
    context_settings=help.HELP,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    epilog="'refmatch COMMAND -h' tells all about a command. 'refmatch --install-completion' "
    "lets the Tab key fill in commands and options.",
)
help.add(app, help.PAGE, studio=(studio.studio, studio.EXAMPLE))
help.add(
    app,
    help.LOOK,
    sample=(sheet.sample, sheet.SAMPLE_EXAMPLE),
    families=(sheet.families, sheet.FAMILIES_EXAMPLE),
)
app.add_typer(box.app, name="box", rich_help_panel=help.TUBES)
help.add(
    app,
    help.MIX,
    mix=(mixing.mix, mixing.MIX_EXAMPLE),
    predict=(mixing.predict, mixing.PREDICT_EXAMPLE),
    nudge=(mixing.nudge, mixing.NUDGE_EXAMPLE),
    demonstrate=(demonstrations.demonstrate, demonstrations.EXAMPLE),
)
help.add(app, help.PLAN, plan=(sheet.plan, sheet.PLAN_EXAMPLE))
help.add(app, help.PRINT, sheet=(sheet.sheet, sheet.SHEET_EXAMPLE))
help.add(
    app,
    help.CHECK,
    card=(dabs.card, dabs.CARD_EXAMPLE),
    check=(dabs.check, dabs.CHECK_EXAMPLE),
    did=(dabs.did, dabs.DID_EXAMPLE),
    canvas=(canvas.canvas, canvas.EXAMPLE),
)
app.add_typer(classes.app, name="class", rich_help_panel=help.TEACH)
app.add_typer(paintings.app, name="painting", rich_help_panel=help.KEEP)


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
            code = app(standalone_mode=False)
    except RefmatchError as error:
        _stop(sentence_of(error, REMEDIES), error.exit_code)
    except WrongUsage as error:
        if type(error).__name__ == "NoArgsIsHelpError":
            print(error, file=sys.stderr)
            sys.exit(2)
        _stop(usage_sentence(error), 2)
    except typer.Abort:
        _stop("Stopped; nothing more was written.", 1)
    except MemoryError:
        _stop("This needs more memory than there is; use a smaller photo.", 1)
    else:
        sys.exit(code or 0)


def _stop(sentence: str, code: int) -> None:
    print(f"refmatch: {sentence}", file=sys.stderr)
    sys.exit(code)
