"""A plan of puddles as a tutor says it."""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.recipe.model import Laid
from refmatch.recipe.puddles.model import Mixed


def from_tubes(label: str, laid: Sequence[Laid], children: int, is_target: bool) -> str:
    """Say what a puddle is mixed of, and what it is for."""
    name = f"“{label}”" if is_target else f"“{label}”, only to draw from"
    use = ""
    if children:
        others = "1 puddle is" if children == 1 else f"{children} puddles are"
        use = f"; {others} drawn from it, so mix plenty"
    return f"Mix {name}: {listed([amount(item) for item in laid])}{use}."


def drawn(label: str, mother: str, of_it: int, laid: Sequence[Laid]) -> str:
    """Say how a puddle is drawn from another."""
    if not laid:
        return f"“{label}” is so near “{mother}” that one puddle does for both."
    parts = "1 part" if of_it == 1 else f"{of_it} parts"
    added = listed([amount(item) for item in laid])
    return f"Take {parts} of “{mother}” and work in {added}: “{label}”."


def of_plan(
    puddles: Sequence[Mixed], laid_out: tuple[int, int], hurries: Sequence[str]
) -> tuple[str, ...]:
    """Say what the plan saves, and what makes puddles skin over first; ``hurries`` are tubes."""
    first = sum(puddle.drawn_from is None for puddle in puddles)
    drawn = sum(bool(puddle.drawn_from and puddle.laid_out) for puddle in puddles)
    count = "1 puddle" if first + drawn == 1 else f"{first + drawn} puddles"
    if drawn:
        saved = (
            f"{count}: {first} mixed from tubes, {drawn} drawn from "
            f"{'that' if first == 1 else 'those'}; {laid_out[0]} things to lay out instead of "
            f"{laid_out[1]}."
        )
    elif first < len(puddles):
        saved = f"{count} for {len(puddles)} colours, mixed from tubes."
    elif first == 1:
        saved = f"{count}, mixed from tubes."
    else:
        saved = f"{count}, each mixed from tubes: none is near enough to another."
    if not hurries:
        return (saved,)
    return (
        saved,
        f"In oil the puddles with much {listed(hurries, 'or')} skin over first: keep them in "
        "a heap, and use them first.",
    )


def amount(item: Laid) -> str:
    """Return parts of a tube, or of its let-down."""
    if item.let_down_white_parts:
        return f"{item.parts} {item.tube} let down 1 to {item.let_down_white_parts}"
    return f"{item.parts} {item.tube}"


def listed(names: Sequence[str], word: str = "and") -> str:
    """Join names as in speech: "a, b and c"."""
    *most, last = names
    return f"{', '.join(most)} {word} {last}" if most else last


def next_step(of_it: int, laid: Sequence[Laid], lighter: bool) -> str:
    """Say how the next step of a string is drawn from the last."""
    parts = "1 part" if of_it == 1 else f"{of_it} parts"
    added = listed([amount(item) for item in laid])
    return f"Next {'lighter' if lighter else 'darker'}: {parts} of the last, and {added}."
