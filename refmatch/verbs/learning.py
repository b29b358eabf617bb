"""A painting's box learns from its dabs, and what it learnt is taken back.

All photos that may be learnt from are taken in together, with the box as it was before the first:
so the order does not matter, and a photo that a later one proves wrong goes out again.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from refmatch.errors import PaintingError
from refmatch.paint.box import Box
from refmatch.paint.box_file import box_from_toml, box_to_toml
from refmatch.painting.evidence import shown_by
from refmatch.painting.form import from_bytes, to_bytes
from refmatch.painting.learnings import (
    Changed,
    Learnt,
    NotTaken,
    keep,
    kept,
    standing,
    taken_back,
)
from refmatch.painting.model import Painting
from refmatch.painting.own_box import looked_at
from refmatch.painting.store import Mark, mark_of, read_painting, save
from refmatch.swatch.changes import changes
from refmatch.swatch.gates import ALONE, gate
from refmatch.swatch.learn import learn
from refmatch.verbs.remix import not_begun, stepped, with_box

LEARNT, TAKEN_BACK = "learn from the dabs", "take back what was learnt"
"""The steps in the painting's history."""


@dataclass(frozen=True, eq=False)
class Learned:
    """What a box has learnt, all photos considered.

    ``painting`` is as saved; ``taken`` the photos that the box now rests on, by SHA-256, in the
    order of the record; ``changes`` how tubes are beside the box before anything was learnt.
    ``update`` is what was put into the record, None where nothing is other than before.
    ``mixed_anew`` are the targets whose recipe was reckoned anew.
    """

    painting: Painting
    taken: tuple[str, ...]
    left_out: tuple[NotTaken, ...]
    changes: tuple[Changed, ...]
    update: Learnt | None
    mixed_anew: tuple[str, ...]

    @property
    def held_back(self) -> tuple[NotTaken, ...]:
        """The photos that wait for another to agree."""
        return tuple(each for each in self.left_out if each.why == ALONE)


@dataclass(frozen=True, eq=False)
class TakenBack:
    """An update taken back: the painting as saved, and what it was that went."""

    painting: Painting
    update: Learnt
    mixed_anew: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class Answered:
    """The painting as it then is, and what was learnt or taken back."""

    painting: Painting
    learned: Learned | None
    taken_back: TakenBack | None


def learn_box(folder: Path, *, again: bool = True) -> Learned:
    """Let a painting's box learn from all its dabs, and mix anew what was not begun.

    ``again`` takes in photos, too, whose teaching was taken back.

    Raises:
        PaintingError: there is no painting, or none of its dabs was looked at yet. StaleRevision:
            another program saved it meanwhile. BoxError, OutputError: what they say.
    """
    folder = Path(folder)
    mark, painting = mark_of(folder), read_painting(folder)
    if not painting.rounds:
        raise PaintingError("nothing_to_learn")
    base = _base(folder, painting)
    box = _box(base, painting)
    without = frozenset() if again else taken_back(painting.box, painting.learnings)
    told = shown_by(painting, box, without)
    gated = gate(box, told.photos)
    taken = [told.photos[number] for number in gated.taken]
    after = learn(box, taken).box if taken else box
    text = box_to_toml(after) if taken else base
    left_out = (
        *told.left_out,
        *(NotTaken(told.looks[each.photo], each.why.name, each.why) for each in gated.left_out),
    )
    names = {box.tubes[tube].name for each in taken for dab in each.dabs for tube in dab.tubes}
    found = Learned(
        painting=painting,
        taken=tuple(told.looks[number] for number in gated.taken),
        left_out=_in_order(left_out, painting),
        changes=_changes(box, after, names),
        update=None,
        mixed_anew=(),
    )
    return found if text == painting.box else _saved(folder, found, (base, text), mark)


def learn_as_asked(folder: Path, *, undo: bool, automatic: bool | None) -> Answered:
    """Learn, or take back what was learnt, or switch whether the box learns after every look.

    Switching off learns nothing; switching on learns from what was looked at, if anything was.

    Raises:
        RefmatchError: as `learn_box` and `take_back`.
    """
    learned, gone = None, None
    if automatic is not None:
        painting = switch(folder, on=automatic)
    if undo:
        gone = take_back(folder)
        painting = gone.painting
    elif automatic is None or (automatic and painting.rounds):
        learned = learn_box(folder)
        painting = learned.painting
    return Answered(painting, learned, gone)


def learn_if_on(folder: Path) -> Learned | None:
    """Let a painting's box learn where its painter wants that after every look; None where not.

    Raises:
        RefmatchError: as `learn_box`.
    """
    return learn_box(folder, again=False) if read_painting(folder).learns else None


def take_back(folder: Path) -> TakenBack:
    """Take back the last update of a painting's box, to the last byte.

    Raises:
        PaintingError: its box has learnt nothing, or the box before is gone from the folder.
            StaleRevision, OutputError: what they say.
    """
    folder = Path(folder)
    mark, painting = mark_of(folder), read_painting(folder)
    last = next(standing(painting.box, painting.learnings), None)
    if last is None:
        raise PaintingError("nothing_learnt")
    plan = from_bytes(kept(folder, last.plan).encode())
    back = with_box(painting, kept(folder, last.before), plan)
    saved = save(folder, stepped(folder, back, painting, TAKEN_BACK), over=mark)
    return TakenBack(saved, last, _labels(painting))


def switch(folder: Path, *, on: bool) -> Painting:
    """Say whether a painting's box is to learn after every look.

    Raises:
        PaintingError: there is no painting. StaleRevision, OutputError: what they say.
    """
    folder = Path(folder)
    mark, painting = mark_of(folder), read_painting(folder)
    return save(folder, replace(painting, learns=on), over=mark)


def _base(folder: Path, painting: Painting) -> str:
    """Return the box before anything was learnt: what the updates rest on, else the box itself."""
    last = next(standing(painting.box, painting.learnings), None)
    return painting.box if last is None else kept(folder, last.base)


def _box(text: str, painting: Painting) -> Box:
    return looked_at(box_from_toml(text, "the painting's box"), painting.finish)


def _saved(folder: Path, found: Learned, texts: tuple[str, str], mark: Mark) -> Learned:
    """Put an update into the record, with the boxes around it."""
    base, text = texts
    old = found.painting
    update = Learnt(
        date=date.today().isoformat(),
        base=keep(folder, base),
        before=keep(folder, old.box),
        after=keep(folder, text),
        plan=keep(folder, to_bytes(_plan(old)).decode(), ".json"),
        taken=found.taken,
        left_out=found.left_out,
        changes=found.changes,
    )
    painting = stepped(folder, with_box(old, text), old, LEARNT)
    saved = save(folder, replace(painting, learnings=(*old.learnings, update)), over=mark)
    return replace(found, painting=saved, update=update, mixed_anew=_labels(old))


def _plan(painting: Painting) -> Painting:
    """Return a painting without its record: what was planned."""
    asked = replace(painting.asked, box="")
    return replace(painting, box="", asked=asked, looks=(), rounds=(), sheets=(), learnings=())


def _changes(before: Box, after: Box, names: set[str]) -> tuple[Changed, ...]:
    return tuple(
        Changed(each.tube, each.strength_percent, each.is_other, each.words)
        for each in changes(before, after, sorted(names))
    )


def _in_order(left_out: tuple[NotTaken, ...], painting: Painting) -> tuple[NotTaken, ...]:
    order = [look.photo.sha256 for look in painting.looks]
    return tuple(sorted(left_out, key=lambda each: order.index(each.look)))


def _labels(painting: Painting) -> tuple[str, ...]:
    return tuple(painting.targets[place].label for place in not_begun(painting))
