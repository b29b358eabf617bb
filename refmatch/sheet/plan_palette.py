"""The palette of a plan as its page tells it: tubes, what each is worth, and what it reaches."""

from __future__ import annotations

from collections.abc import Sequence

from refmatch.painting.model import Painting
from refmatch.recipe.amounts import millilitres, squeezed_cm
from refmatch.recipe.palette.choice import REACHED, Choice, weights_of
from refmatch.recipe.whole_plan import WholePlan
from refmatch.say.english import NBSP, listed
from refmatch.say.plan import squeeze_words
from refmatch.sheet.plan_content import ReachDot, ReachShown, TubeLine
from refmatch.sheet.squeeze import round_the_palette, runs


def tubes(plan: WholePlan, painting: Painting) -> tuple[TubeLine, ...]:
    """Return the palette's tubes in the order to lay them out."""
    chosen = plan.advice.chosen
    used = [tube for tube in painting.table if tube.name in chosen.tubes]
    volumes = plan.amounts.tubes_ml if plan.amounts else _shares(plan)
    most = max(volumes.values(), default=1.0)
    return tuple(
        TubeLine(
            tube=tube.name,
            masstone=tube.masstone,
            tint=tube.tint,
            amount=amount_words(plan, tube.name),
            without=without_words(plan, tube.name),
            volume_share=volumes.get(tube.name, 0.0) / most,
        )
        for tube in round_the_palette(used)
    )


def palette_words(plan: WholePlan) -> str:
    """Return which tubes were chosen of which box, and what they do."""
    chosen = plan.advice.chosen
    told = (
        f"{len(chosen.tubes)} of the {len(plan.box.tubes)} tubes of “{plan.box.name}”: "
        f"{_figures(plan.on_table, plan)}."
    )
    if chosen.proved:
        return told
    better = chosen.cost - chosen.bound
    return f"{told} Another {len(chosen.tubes)} may be better, by ΔE00 {better:.2f} at most."


def prices(plan: WholePlan) -> tuple[str, ...]:
    """Return a line for the best palette of each number of tubes, fewest first."""
    lines: list[str] = []
    before: tuple[str, ...] = ()
    for choice in plan.advice.prices:
        changes = _changes(before, choice.tubes) if before else ", ".join(choice.tubes)
        here = " (this palette)" if choice.tubes == plan.advice.chosen.tubes else ""
        lines.append(f"{len(choice.tubes)} tubes{here}: {_figures(choice, plan)}. {changes}")
        before = choice.tubes
    return tuple(lines)


def known_lines(plan: WholePlan) -> tuple[str, ...]:
    """Return a line for each palette of the trade: what it does, or what the box lacks of it."""
    return tuple(
        f"{known.name}: the box lacks {listed(known.missing)}"
        if known.missing
        else f"{known.name}: {_figures(does, plan)}"
        for known, does in plan.advice.known
    )


def reaches(plan: WholePlan) -> tuple[ReachShown, ...]:
    """Return what this palette reaches, the whole box, and those of the trade that it holds."""
    return tuple(
        ReachShown(
            "the whole box" if place == 1 else reach.name,
            plan.box.name if place == 1 else ", ".join(reach.tubes),
            reach.outline_ab,
        )
        for place, reach in enumerate(plan.reaches)
    )


def dots_of(plan: WholePlan) -> tuple[ReachDot, ...]:
    """Return the targets as they are mixed for, by their slips' numbers."""
    shares = weights_of(plan.shares)
    return tuple(
        ReachDot(number, target.lab, float(share))
        for number, (target, share) in enumerate(zip(plan.targets, shares, strict=True), start=1)
    )


def _shares(plan: WholePlan) -> dict[str, float]:
    """Return each tube's part of all the paint that is mixed for targets."""
    weights = weights_of(plan.shares)
    found: dict[str, float] = {}
    names = [tube.name for tube in plan.box.tubes if tube.name in plan.advice.chosen.tubes]
    for puddle in plan.puddles.puddles:
        if puddle.target is None:
            continue
        for name, net in zip(names, puddle.net.tolist(), strict=True):
            found[name] = found.get(name, 0.0) + net * float(weights[puddle.target])
    return found


def amount_words(plan: WholePlan, tube: str) -> str:
    """Return how much of a tube the canvas takes, "" without a canvas."""
    if plan.amounts is None:
        return ""
    ml = plan.amounts.tubes_ml.get(tube)
    if ml is None:
        return "none needed"
    return f"{squeeze_words(ml)}: {millilitres(ml)}, {squeezed_cm(ml):.0f} cm squeezed"


def without_words(plan: WholePlan, tube: str) -> str:
    """Say what is lost without a tube: in ΔE00 on the mean, and the slips out of reach."""
    left = plan.advice.without.get(tube)
    if left is None:
        return ""
    chosen = plan.advice.chosen
    told = f"without it ΔE00 {left.cost - chosen.cost:+.1f} on the mean".replace("-", "−")
    pairs = zip(chosen.distance, left.distance, strict=True)
    lost = [place + 1 for place, (here, there) in enumerate(pairs) if here <= REACHED < there]
    if not lost:
        return told
    return f"{told}, and {slips(lost)} out of reach"


def _figures(does: Choice, plan: WholePlan) -> str:
    """Say how near a palette comes and what it does not reach."""
    expected = float(does.expected @ weights_of(plan.shares))
    told = f"ΔE00{NBSP}{expected:.1f} to expect on the mean"
    missed = [place + 1 for place in does.missed]
    return f"{told}; {slips(missed)} out of reach" if missed else f"{told}; reaches all"


def slips(numbers: Sequence[int]) -> str:
    """Return "slip 3", "slips 1, 3–6"."""
    return f"slip{'s' if len(numbers) > 1 else ''} {runs(numbers)}"


def _changes(before: Sequence[str], after: Sequence[str]) -> str:
    """Say how one palette becomes another: "+ cerulean blue, − ivory black"."""
    come = [f"+ {tube}" for tube in after if tube not in before]
    return ", ".join([*come, *(f"− {tube}" for tube in before if tube not in after)])
