"""A painting's box learns from its dabs, and what it learnt is taken back.

All photos that may be learnt from are taken in together, with the box as it was before the first:
so the order does not matter, and a photo that a later one proves wrong goes out again. Each box is
kept whole in the folder, by the name of its own content, and so is the plan that was made from it:
an update is taken back to the last byte, and a box that has learnt can serve another painting.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import numpy as np

from refmatch.dabs.additions import Parts
from refmatch.dabs.beside import PAINT, known_of, parts_of
from refmatch.dabs.camera import SAME, Light, light_said
from refmatch.dabs.gates import ALONE, gate
from refmatch.dabs.learn import Change, Evidence, changes, learn
from refmatch.dabs.spot import SUNK, PhotoDab, Spot
from refmatch.disk import locked
from refmatch.errors import PaintingError, UnknownTube
from refmatch.flag import Flag, flag_of
from refmatch.paint.box import Box
from refmatch.paint.box_file import box_from_toml, box_to_toml
from refmatch.painting.form import from_bytes, to_bytes
from refmatch.painting.model import (
    Learnt,
    Look,
    NotTaken,
    Painting,
    Round,
    SavedFile,
    plain_name,
)
from refmatch.painting.own_box import looked_at
from refmatch.painting.remix import not_begun, save_step, with_box
from refmatch.painting.states import BOXES, make_inner
from refmatch.painting.store import Mark, mark_of, read_painting, save, write_new


def standing(box: str, learnings: Sequence[Learnt]) -> Iterator[Learnt]:
    """Yield the updates that a painting's box (its text) rests on, last first; none of a new box.

    ``learnings`` are all there ever were, oldest first.
    """
    now = digest_of_text(box)
    for update in reversed(learnings):
        if update.after.sha256 == now:
            yield update
            now = update.before.sha256


def taken_back(box: str, learnings: Sequence[Learnt]) -> frozenset[str]:
    """Return the photos, by SHA-256, that were learnt from once and are no more."""
    ever = {look for update in learnings for look in update.taken}
    last = next(standing(box, learnings), None)
    return frozenset(ever - set(last.taken if last else ()))


def digest_of_text(text: str) -> str:
    """Return the SHA-256 of a box's text, in hex."""
    return hashlib.sha256(text.encode()).hexdigest()


def keep_text(folder: Path, text: str, ending: str = ".toml") -> SavedFile:
    """Put a box's text, or a plan's, into the folder, once, and return how the record knows it.

    Raises:
        OutputError: there is no place for it.
    """
    digest = digest_of_text(text)
    name = f"{digest[:16]}{ending}"
    path = Path(folder) / BOXES / name
    with locked(Path(folder)):
        make_inner(path.parent)
        write_new(path, text.encode())
    return SavedFile(f"{BOXES}/{name}", digest)


def kept_text(folder: Path, mark: SavedFile) -> str:
    """Return a text as `keep_text` left it.

    Raises:
        PaintingError: it is gone or has changed, or would lie outside the folder.
    """
    path = Path(folder) / BOXES / plain_name(mark.file.removeprefix(f"{BOXES}/"), Path(folder))
    try:
        text = path.read_bytes().decode()
    except (OSError, UnicodeDecodeError) as error:
        raise PaintingError("kept_box_gone", file=str(path)) from error
    if digest_of_text(text) != mark.sha256:
        raise PaintingError("kept_box_changed", file=str(path))
    return text


# What a painting's record of looks tells of its tubes: each photo as evidence, or why it is none.
#
# White and black as squeezed lie beside a dab to tell of the camera; for learning they are dabs of
# their tubes like any other, since the box may be wrong about them. Greys, a chart, and a reference
# of measured Lab are known.


def shown_by(
    painting: Painting, box: Box, without: frozenset[str] = frozenset()
) -> tuple[dict[str, Evidence], tuple[NotTaken, ...]]:
    """Return what the record tells of a box's tubes, by each photo's SHA-256, oldest first.

    And the photos that tell nothing, with the reason.

    ``without`` are photos, by SHA-256, that are not to be learnt from.
    """
    photos: dict[str, Evidence] = {}
    left_out = []
    piles: dict[str, list[_Piles]] = {}
    for look in painting.looks:
        digest = look.photo.sha256
        rounds = [row for row in painting.rounds if row.look == digest]
        if not rounds:
            continue
        evidence = _evidence(look, rounds, box) if digest not in without else _taken_back(look)
        if isinstance(evidence, NotTaken):
            left_out.append(evidence)
        else:
            photos[digest] = replace(evidence, sitting=_sitting(look, rounds, piles))
    return photos, tuple(left_out)


_Sitting = tuple[str, int]
_Piles = frozenset[tuple[str, int, Parts]]


def _sitting(look: Look, rounds: Sequence[Round], piles: dict[str, list[_Piles]]) -> _Sitting:
    """Return the day of a photo, and which of that day's sittings it belongs to.

    A photo that shows no pile but those that another of that day shows, with nothing added since,
    may share what is wrong with it. ``piles`` are those of each day's sittings so far.
    """
    shown = frozenset((row.target, row.pile, row.parts) for row in rounds)
    earlier = piles.setdefault(look.date, [])
    for number, before in enumerate(earlier):
        if shown <= before or before <= shown:
            earlier[number] = before | shown
            return look.date, number
    earlier.append(shown)
    return look.date, len(earlier) - 1


def _evidence(look: Look, rounds: Sequence[Round], box: Box) -> Evidence | NotTaken:
    digest = look.photo.sha256
    if look.state == SUNK:
        return NotTaken(digest, "sunk", Flag("sunk_dabs"))
    paints = [row for row in look.beside if row.kind == PAINT]
    others = [row for row in look.beside if row.kind != PAINT]
    if not others:
        return NotTaken(digest, "nothing_known", Flag("only_paint_known"))
    try:
        dabs = [_dab(row.target, row.spot, row.parts, box, look.state) for row in rounds]
        dabs += [_dab(_name(row.parts), row.spot, row.parts, box, look.state) for row in paints]
        known = known_of(others, box, rounds[0].parts, look.state)
    except UnknownTube as unknown:
        return NotTaken(digest, "unknown_tube", Flag("other_box", why=flag_of(unknown)))
    return Evidence(tuple(dabs), tuple(known), _light(look.light, box))


def _taken_back(look: Look) -> NotTaken:
    return NotTaken(look.photo.sha256, "taken_back", Flag("taken_back"))


def _dab(label: str, spot: Spot, parts: Parts, box: Box, state: str) -> PhotoDab:
    row = parts_of(box, parts)
    tubes = np.flatnonzero(row)
    return PhotoDab(label, spot, tuple(tubes.tolist()), tuple(row[tubes].tolist()), state=state)


def _name(parts: Parts) -> str:
    return " + ".join(name for name, _ in parts)


def _light(said: str, box: Box) -> Light | None:
    """Return the light as it was told; that of a box's own photo only where it is known still."""
    if said.strip().lower() == SAME:
        return SAME if box.camera is not None else None
    return light_said(said) if said else None


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
    changes: tuple[Change, ...]
    update: Learnt | None
    mixed_anew: tuple[str, ...]

    @property
    def held_back(self) -> tuple[NotTaken, ...]:
        """The photos that wait for another to agree."""
        return tuple(photo for photo in self.left_out if photo.why == ALONE)


@dataclass(frozen=True, eq=False)
class TakenBack:
    """An update taken back: the painting as saved, and what it was that went."""

    painting: Painting
    update: Learnt
    mixed_anew: tuple[str, ...]


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
    shown, silent = shown_by(painting, box, without)
    looks, photos = tuple(shown), tuple(shown.values())
    numbers, doubted = gate(box, photos)
    taken = [photos[number] for number in numbers]
    after = learn(box, taken) if taken else box
    text = box_to_toml(after) if taken else base
    left_out = (
        *silent,
        *(NotTaken(looks[photo.photo], photo.why.name, photo.why) for photo in doubted),
    )
    names = {box.tubes[tube].name for photo in taken for dab in photo.dabs for tube in dab.tubes}
    learned = Learned(
        painting=painting,
        taken=tuple(looks[number] for number in numbers),
        left_out=_in_order(left_out, painting),
        changes=changes(box, after, sorted(names)),
        update=None,
        mixed_anew=(),
    )
    return learned if text == painting.box else _saved(folder, learned, (base, text), mark)


def learn_as_asked(
    folder: Path, *, undo: bool, automatic: bool | None
) -> tuple[Painting, Learned | TakenBack | None]:
    """Learn, or take back what was learnt, or switch whether the box learns after every look.

    Switching off learns nothing; switching on learns from what was looked at, if anything was.

    Raises:
        RefmatchError: as `learn_box` and `take_back`.
    """
    change: Learned | TakenBack | None = None
    if automatic is not None:
        painting = switch(folder, on=automatic)
    if undo:
        change = take_back(folder)
    elif automatic is None or (automatic and painting.rounds):
        change = learn_box(folder)
    return painting if change is None else change.painting, change


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
    plan = from_bytes(kept_text(folder, last.plan).encode())
    back = with_box(painting, kept_text(folder, last.before), plan)
    saved = save_step(folder, back, painting, TAKEN_BACK, over=mark)
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
    return painting.box if last is None else kept_text(folder, last.base)


def _box(text: str, painting: Painting) -> Box:
    return looked_at(box_from_toml(text, "the painting's box"), painting.finish)


def _saved(folder: Path, learned: Learned, texts: tuple[str, str], mark: Mark) -> Learned:
    """Put an update into the record, with the boxes around it."""
    base, text = texts
    old = learned.painting
    update = Learnt(
        date=date.today().isoformat(),
        base=keep_text(folder, base),
        before=keep_text(folder, old.box),
        after=keep_text(folder, text),
        plan=keep_text(folder, to_bytes(_plan(old)).decode(), ".json"),
        taken=learned.taken,
        left_out=learned.left_out,
        changes=learned.changes,
    )
    painting = replace(with_box(old, text), learnings=(*old.learnings, update))
    saved = save_step(folder, painting, old, LEARNT, over=mark)
    return replace(learned, painting=saved, update=update, mixed_anew=_labels(old))


def _plan(painting: Painting) -> Painting:
    """Return a painting without its record: what was planned."""
    asked = replace(painting.asked, box="")
    return replace(
        painting,
        asked=asked,
        looks=(),
        rounds=(),
        sheets=(),
        learnings=(),
        pencilled=(),
        canvases=(),
    )


def _in_order(left_out: tuple[NotTaken, ...], painting: Painting) -> tuple[NotTaken, ...]:
    order = [look.photo.sha256 for look in painting.looks]
    return tuple(sorted(left_out, key=lambda photo: order.index(photo.look)))


def _labels(painting: Painting) -> tuple[str, ...]:
    return tuple(painting.targets[place].label for place in not_begun(painting))
