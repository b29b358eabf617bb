"""All that the page shows of checking: the photo on the table, the dab card, each puddle."""

from __future__ import annotations

import shutil
import tempfile
import weakref
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from refmatch.colorimetry.lab import delta_e_00
from refmatch.colorimetry.spectrum import Array
from refmatch.dabs import dab_card
from refmatch.dabs.additions import PUDDLE, ingredients_of
from refmatch.dabs.belief import box_as_believed
from refmatch.dabs.beside import lacking
from refmatch.dabs.checked import Checks
from refmatch.dabs.dab_card import SAME_DELTA_E_00
from refmatch.dabs.verdict import Apart, judge
from refmatch.encode import Json, encode, number
from refmatch.encode.forms import grey_string_form, nudge_form
from refmatch.errors import CardError, OutputError, PaintingError, UnknownTube
from refmatch.flag import Flag, flag_of
from refmatch.paint.box import Box, Tube
from refmatch.painting.check import dab_card_layout, dab_card_of
from refmatch.painting.model import Advised, Look, Painting, Round
from refmatch.painting.own_box import box_of
from refmatch.painting.record import (
    LEFT_OVER,
    PileNow,
    belief_now,
    left_over,
    parts_line,
    pencilled_parts,
    pile_now,
    place_of,
    rounds_of,
)
from refmatch.painting.store import saved_photo
from refmatch.photo.light.balance import as_shot
from refmatch.photo.load import load
from refmatch.photo.photo import Photo, reduced
from refmatch.photo.picture import as_wide_jpeg, to_p3
from refmatch.recipe.doubt import generic_flags
from refmatch.recipe.neutral import GreyString, grey_string
from refmatch.recipe.nudge import Lesson, Nudge, teach
from refmatch.say.dabs import apart_words, verdict_sentence
from refmatch.say.nudges import alone_words, instead_label, nudge_words
from refmatch.sheet.card_files import dab_card_pdf, make_dab_card
from refmatch.web.desk import Desk
from refmatch.web.page import page


def checks_shown(
    desk: Desk, laid: Laid | None, checks: Checks | None, judged: Sequence[str] = ()
) -> Json:
    """Return a painting's checks as they stand; its targets are known by their holes' keys.

    Args:
        desk: the painting.
        laid: the photo that lies on the table.
        found: what its dabs were found to be when they were judged last.
        judged: the labels of the targets whose dabs were judged just now.

    Raises:
        PaintingError, BoxError: something of the painting is damaged.
    """
    sitting = desk.sitting()
    painting, box = sitting.painting, box_of(sitting.painting)
    flags = {checked.job.label: checked.flags for checked in checks.found} if checks else {}
    labels = [target.label for target in painting.targets]
    holes = [(hole.key, label) for hole, label in zip(sitting.holes, labels, strict=True)]
    content = {
        "id": desk.key,
        "revision": painting.revision,
        "photo": None if laid is None else _photo(laid, checks, holes),
        "card": _card(desk.folder),
        "puddles": [
            _puddle(painting, box, hole, label, flags.get(label, ())) for hole, label in holes
        ],
        # of a box that knows a camera, a photo may be in the same light as its own
        "has_same_light": box.camera is not None,
        "paints": paints_of(box),
        "parts_by": box.parts,
        "judged": [hole for hole, label in holes if label in judged],
    }
    return page(content)


def nudges_shown(desk: Desk, hole: str) -> Json:
    """Return a target's puddle as it is now believed to be, what moves it, and what greys it.

    Raises:
        PaintingError: there is no such target, or it has no recipe.
    """
    label, lesson = lesson_on(desk, hole)
    _, box, puddle, on_table = _puddle_on(desk, hole)
    painting = desk.sitting().painting
    content = {
        "label": label,
        "now": _pile(pile_now(painting, label)),
        "colour": lesson.lab,
        "nudges": [
            _nudge(nudge, nudge.direction, nudge_words(lesson, nudge)) for nudge in lesson.nudges
        ],
        "instead": [
            _nudge(nudge, instead_label(nudge), alone_words(lesson, nudge))
            for nudge in lesson.instead
        ],
        "to_grey": _to_grey(grey_string(box, puddle, on_table)),
    }
    return page(content, generic_flags(box_of(painting).tubes))


def lay_out(desk: Desk, paper: str, grey_lstar: float) -> None:
    """Lay out the dab card of a painting as it stands; an older one can no longer be read.

    Raises:
        CardError: the painting has no targets. UsageError: no such paper, no L* of a grey.
        OutputError: it cannot be written.
    """
    desk.sitting()
    make_dab_card(desk.folder, dab_card_pdf(desk.folder), paper, grey_lstar)


def printed(desk: Desk) -> tuple[str, bytes]:
    """Return the painting's title, and its dab card as it was laid out, PDF.

    Raises:
        CardError: none is laid out, or it is damaged.
    """
    from refmatch.sheet import dab_card_pages  # ReportLab is slow to import

    card = dab_card.read_card_file(dab_card_layout(desk.folder))
    return card.title, dab_card_pages.write(card)


def has_card(folder: Path) -> bool:
    """Return whether a dab card is laid out that can be read."""
    return _card(folder) is not None


def _card(folder: Path) -> Json | None:
    """Return the dab card with what no longer holds of it, None where there is none to be read.

    ``holds`` is false where none of its targets is one any more.
    """
    try:
        card = dab_card.read_card_file(dab_card_layout(folder))
    except CardError:
        return None
    try:
        holds, flags = True, dab_card_of(folder).flags
    except CardError as error:
        holds, flags = False, (flag_of(error),)
    return {
        "paper": card.paper,
        "grey_lstar": number(card.neutral_value),
        "pages": card.pages,
        "holds": holds,
        "flags": flags,
    }


# The photo of dabs that lies on the table: outside the painting until a dab in it is judged.

LONGEST_SIDE_PX = 1600
KEY_LETTERS = 16
"""So many letters of the SHA-256 name a photo; the record's files are named so, too."""


@dataclass(frozen=True, eq=False)
class Laid:
    """A photo in a folder of its own, gone when it is put away or the studio ends."""

    path: Path
    key: str
    width_px: int
    height_px: int
    picture: bytes

    def put_away(self) -> None:
        """Remove the photo."""
        shutil.rmtree(self.path.parent, ignore_errors=True)


def lay(path: Path) -> Laid:
    """Copy a photo onto the table.

    Raises:
        PhotoError: it is no photo. OutputError: there is no place for it.
    """
    photo = load(path)
    try:
        copy = Path(tempfile.mkdtemp(prefix="refmatch-")) / path.name
        shutil.copyfile(path, copy)
    except OSError as error:
        raise OutputError("no_place_on_the_way") from error
    laid = Laid(
        path=copy,
        key=key_of(saved_photo(copy).sha256),
        width_px=photo.width_px,
        height_px=photo.height_px,
        picture=picture_of(photo),
    )
    weakref.finalize(laid, shutil.rmtree, copy.parent, ignore_errors=True)
    return laid


def picture_of(photo: Photo) -> bytes:
    """Return a photo as shot, as the page shows it, JPEG."""
    xyz = reduced(photo, LONGEST_SIDE_PX).xyz
    return as_wide_jpeg(to_p3(xyz @ as_shot().matrix.T.astype(xyz.dtype)))


def key_of(sha256: str) -> str:
    """Return by which word the page knows a photo."""
    return sha256[:KEY_LETTERS]


def lesson_on(desk: Desk, hole: str) -> tuple[str, Lesson]:
    """Return a target's label, and the lesson on its puddle as that is now believed to be.

    ``hole`` is its hole's key, else its label.

    Raises:
        PaintingError: there is no such target, or it has no recipe.
    """
    label, box, puddle, on_table = _puddle_on(desk, hole)
    lesson = teach(box, puddle, on_table)
    known = {None, *(tube.name for tube in on_table)}
    instead = tuple(nudge for nudge in lesson.instead if nudge.tube in known)
    return label, replace(lesson, instead=instead)


def _puddle_on(desk: Desk, hole: str) -> tuple[str, Box, list[tuple[Tube, float]], list[Tube]]:
    """Return a target's label, the box, its puddle in tubes as believed, and those on the table."""
    sitting = desk.sitting()
    painting = sitting.painting
    keys = [one.key for one in sitting.holes]
    place = keys.index(hole) if hole in keys else place_of(painting, hole)
    label = painting.targets[place].label
    now, box = pile_now(painting, label), box_of(painting)
    belief = belief_now(painting, label, box)
    held = box if belief is None else box_as_believed(box, now.parts, belief.pile)
    on_table = [tube for tube in box.tubes if tube.name not in painting.asked.away]
    return label, box, [(held.tube(name), share) for name, share in now.parts], on_table


def paints_of(box: Box) -> dict[str, str]:
    """Return the names of the box's white and black, where it has them."""
    white = next((tube.name for tube in box.tubes if tube.is_white), None)
    black = box.black.name if box.black else None
    return {key: name for key, name in (("white", white), ("black", black)) if name}


def _photo(laid: Laid, checks: Checks | None, holes: Sequence[tuple[str, str]]) -> Json:
    outlines = checks.outlines if checks else {}
    return {
        "key": laid.key,
        "name": laid.path.name,
        "width_px": laid.width_px,
        "height_px": laid.height_px,
        "flags": checks.flags if checks else (),
        "learnt": list(checks.learnt) if checks else [],
        "outlines": [
            {"hole": hole, "corners": [[number(x, 1), number(y, 1)] for x, y in outlines[label]]}
            for hole, label in holes
            if label in outlines
        ],
    }


def _puddle(painting: Painting, box: Box, hole: str, label: str, flags: tuple[Flag, ...]) -> Json:
    """Return a target's puddle: its rounds, oldest first, what is in it now, all that can go in.

    ``colour`` is what it is now believed to be, null where no photo tells; ``flags`` are those of
    its dab in the photo judged last.
    """
    target = painting.targets[place_of(painting, label)]
    looks = {look.photo.sha256: look for look in painting.looks}
    rounds, now = rounds_of(painting, label), _now(painting, label)
    believed = _believed(painting, label, box)
    off = None if believed is None else float(delta_e_00(believed, target.lab))
    at_hand = _at_hand(painting, box, label, now)
    return {
        "hole": hole,
        "label": label,
        "pencilled": bool(pencilled_parts(painting, label)) and not rounds,
        "now": now and {**_pile(now), "colour": believed, "delta_e_00": number(off)},
        "has_other_target": bool(rounds) and _is_other(rounds[-1].target_lab, target.lab),
        "rounds": [_round(row, looks.get(row.look)) for row in rounds],
        "at_hand": [{"name": name, "kind": kind} for name, kind in at_hand.items()],
        "flags": flags,
    }


def _pile(now: PileNow) -> Json:
    return {**encode(now), "words": parts_line(now.parts)}


def _round(row: Round, look: Look | None) -> Json:
    """Return a round, and what is said of its photo, null where that is lost."""
    photo = Apart.of(row.measured_lab, row.measured_covariance, row.target_lab)
    belief = Apart.of(row.lab, row.covariance, row.target_lab)
    nearness = judge(row.lab, row.target_lab, photo, belief).nearness
    lacks = lacking(look.beside if look else (), is_clipped=row.spot.is_clipped)
    return {
        "pile": row.pile,
        "number": row.number,
        "photo": key_of(look.photo.sha256) if look else None,
        **{name: getattr(look, name, None) for name in ("date", "way", "state", "light")},
        "parts_words": parts_line(row.parts),
        "target": row.target_lab,
        "photographed": row.measured_lab,
        "photographed_words": apart_words(photo),
        "photographed_delta_e_00": number(photo.delta_e_00),
        "photographed_doubt_delta_e_00": number(photo.p50),
        "photographed_doubt_delta_e_00_p90": number(photo.p90),
        "colour": row.lab,
        "colour_words": apart_words(belief),
        "delta_e_00": number(row.delta_e_00),
        "doubt_delta_e_00": number(belief.p50),
        "doubt_delta_e_00_p90": number(belief.p90),
        "verdict": row.verdict,
        "nearness": nearness,
        "words": row.words,
        "sentence": verdict_sentence(row.verdict, nearness, row.words, lacks),
        "advice": row.advice,
        "divide": row.divide,
        "fresh": row.fresh,
        "fresh_words": parts_line(row.fresh_parts) or None,
        "corrections": [_advised(advised) for advised in row.corrections],
        "done": row.done,
    }


def _advised(advised: Advised) -> Json:
    return {
        "words": advised.words,
        "additions": advised.additions,
        "colour": advised.predicted_lab,
        "predicted_delta_e_00": number(advised.predicted_delta_e_00),
    }


def _nudge(nudge: Nudge, label: str, words: str) -> Json:
    form = nudge_form(nudge, words)
    return {**form, "label": label, "colour": form.pop("lab")}


def _to_grey(string: GreyString) -> Json:
    form = grey_string_form(string)
    steps = [{**step, "colour": step.pop("lab")} for step in form["steps"]]
    return {"words": form["words"], "steps": steps}


def _believed(painting: Painting, label: str, box: Box) -> Array | None:
    """Return the colour that a puddle is believed to have; None of tubes the box has no more."""
    try:
        belief = belief_now(painting, label, box)
    except UnknownTube:
        return None
    return None if belief is None else belief.lab


def _is_other(before: Array, now: Array) -> bool:
    return float(delta_e_00(before, now)) >= SAME_DELTA_E_00


def _now(painting: Painting, label: str) -> PileNow | None:
    try:
        return pile_now(painting, label)
    except PaintingError:
        return None


def _at_hand(painting: Painting, box: Box, label: str, now: PileNow | None) -> dict[str, str]:
    """Return tubes, let-downs, the core, other puddles that were looked at, and leftovers."""
    held = {tube.name for tube in box.tubes}
    parts = tuple(part for part in now.parts if part[0] in held) if now else ()
    own = {part.name: part.kind for part in ingredients_of(box, parts)}
    others = []
    for other in (target.label for target in painting.targets):
        if other != label and rounds_of(painting, other):
            others.append(other)
        if left_over(painting, other):
            others.append(f"{other}{LEFT_OVER}")
    return dict.fromkeys(others, PUDDLE) | own
