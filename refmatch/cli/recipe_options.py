"""What is said of the recipes wanted, alike for every command that mixes."""

from __future__ import annotations

from typing import Annotated, Any

import typer


def recipe_options(
    tubes: Annotated[
        int | None,
        typer.Option(metavar="MAX", help="At most so many tubes, 2 to 5; 4 if unsaid."),
    ] = None,
    total: Annotated[
        int | None, typer.Option(metavar="PARTS", help="At most so many parts; 32 if unsaid.")
    ] = None,
    without: Annotated[
        list[str] | None, typer.Option(metavar="TUBE", help="Hold a tube out; repeatable.")
    ] = None,
    insist: Annotated[
        list[str] | None,
        typer.Option("--with", metavar="TUBE", help="Insist on a tube; repeatable."),
    ] = None,
    easy_on_black: Annotated[
        bool | None,
        typer.Option(
            "--easy-on-black/--free-with-black",
            help="Black only where it gains, never alone.",
            show_default=False,
        ),
    ] = None,
    no_white_in_darks: Annotated[
        bool | None,
        typer.Option(
            "--no-white-in-darks/--white-in-darks",
            help="No white below value 4.",
            show_default=False,
        ),
    ] = None,
    no_stray_green: Annotated[
        bool | None,
        typer.Option(
            "--no-stray-green/--stray-green",
            help="No greenish blue into a yellowish orange where a brown serves.",
            show_default=False,
        ),
    ] = None,
) -> Any:
    """Return what is said of the recipes."""
    from refmatch.cli.said import MixingSaid

    return MixingSaid(
        tubes=tubes,
        total=total,
        without=None if without is None else tuple(without),
        insist=None if insist is None else tuple(insist),
        easy_on_black=easy_on_black,
        no_white_in_darks=no_white_in_darks,
        no_stray_green=no_stray_green,
    )
