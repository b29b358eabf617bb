"""What is said of the recipes wanted, alike for every command that mixes."""

from __future__ import annotations

from typing import Annotated, Any

import typer


def recipe_options(
    tubes: Annotated[int, typer.Option(metavar="MAX", help="At most so many tubes, 2 to 5.")] = 4,
    total: Annotated[int, typer.Option(metavar="PARTS", help="At most so many parts.")] = 32,
    without: Annotated[
        list[str] | None, typer.Option(metavar="TUBE", help="Hold a tube out; repeatable.")
    ] = None,
    insist: Annotated[
        list[str] | None,
        typer.Option("--with", metavar="TUBE", help="Insist on a tube; repeatable."),
    ] = None,
    easy_on_black: Annotated[
        bool, typer.Option("--easy-on-black", help="Black only where it gains, never alone.")
    ] = False,
    no_white_in_darks: Annotated[
        bool, typer.Option("--no-white-in-darks", help="No white below value 4.")
    ] = False,
    no_stray_green: Annotated[
        bool,
        typer.Option(
            "--no-stray-green",
            help="No greenish blue into a yellowish orange where a brown serves.",
        ),
    ] = False,
) -> Any:
    """Return the options of the solver."""
    from refmatch.recipe.habits import Habits
    from refmatch.recipe.solve import Options

    habits = Habits(
        tuple(without or ()), tuple(insist or ()), easy_on_black, no_white_in_darks, no_stray_green
    )
    return Options(tubes, total, habits)
