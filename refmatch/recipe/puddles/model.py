"""What a plan of puddles is: which are mixed from tubes, which are drawn, and in what order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from refmatch.colorimetry.spectrum import Array
from refmatch.recipe.model import Laid
from refmatch.recipe.subsets import Indices


@dataclass(frozen=True, eq=False)
class Set:
    """The targets of a painting, and each one's own recipe from tubes.

    ``labels`` (n,), each once; ``labs`` (n, 3), D50; ``shares`` (n,) of the picture;
    ``parts`` (n, entries) are whole parts of the box's entries. ``others`` are further
    recipes that would do for a target: its place, and parts (entries,).
    """

    labels: Sequence[str]
    labs: Array
    shares: Array
    parts: Indices
    others: Sequence[tuple[int, Indices]] = ()


@dataclass(frozen=True, eq=False)
class Mother:
    """A puddle from tubes that others may be drawn from.

    ``target`` is the place of the target that it is a recipe for, None where it is none.
    ``parts`` (entries,) are whole parts, ``net`` (tubes,) shares of each tube, sum 1.
    """

    label: str
    target: int | None
    parts: Indices
    net: Array
    lab: Array


@dataclass(frozen=True, eq=False)
class Draw:
    """A way to draw a puddle from another: ``of_it`` parts of that and ``added`` (entries,).

    ``net`` (tubes,) are the shares it then has; ``work`` counts what is laid out, and
    what it is farther off.
    """

    of_it: int
    added: Indices
    net: Array
    lab: Array
    work: float


@dataclass(frozen=True, eq=False)
class Mixed:
    """One puddle on the palette: what it is mixed of, and how true it comes.

    ``drawn_from`` is the label of the puddle it takes ``of_it`` parts of; None and 0 where
    it is mixed from tubes. ``laid`` are the tubes and let-downs that go in, most first.
    ``target`` is the place of its target in the set; None for a mother that is none.
    ``delta_e_00`` is from the target, ``alone_delta_e_00`` that of the target's own recipe
    from tubes (both None without a target). ``share`` is how much of all the paint
    is mixed of it, what is drawn from it included. ``dries`` is "fast", "middle", "slow", or
    None where the tubes' pigments are not known.
    """

    label: str
    drawn_from: str | None
    of_it: int
    laid_out: tuple[Laid, ...]
    net: Array
    lab: Array
    target: int | None
    delta_e_00: float | None
    alone_delta_e_00: float | None
    share: float
    dries: str | None


@dataclass(frozen=True, eq=False)
class Plan:
    """The order of work: every puddle stands after the one that it is drawn from.

    ``from_tubes`` counts the puddles mixed from tubes, ``alone`` those that would be
    without mother puddles; ``laid_out`` and ``laid_out_alone`` what the hand lays out in
    all. ``mean_delta_e_00`` and ``mean_alone_delta_e_00`` are means over the targets by
    their shares. ``skins_first`` are the labels of the puddles that dry fast in oil,
    ``hurries`` the tubes that make them.
    """

    puddles: tuple[Mixed, ...]
    from_tubes: int
    alone: int
    laid_out: int
    laid_out_alone: int
    mean_delta_e_00: float
    mean_alone_delta_e_00: float
    skins_first: tuple[str, ...]
    hurries: tuple[str, ...]
