"""Commands that between them say everything that is said in JSON, and the paths of its keys."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from skimage import data, io

from refmatch.dabs.box_card import read_card_file
from refmatch.dabs.value_finder import read_finder
from refmatch.paint.box import Box, built_in_tube
from refmatch.paint.box_file import box_to_toml, built_in_box, read_box, write_box
from refmatch.painting.check import dab_card_of
from refmatch.painting.record import recipe_parts, with_round
from refmatch.painting.store import create, read_painting
from tests.cli.running import Shell
from tests.cli.test_check import RECIPE, laid_out, painted, recipe_words
from tests.dabs.studio import Shot
from tests.paint.test_measure import files
from tests.painting import example, rounds_example
from tests.painting.learning_example import a_table, kept, looked_at, planned
from tests.painting.rounds_example import Added, advised, look, round_of
from tests.virtual_studio.painted_card import SMALL_SHOT, dabs_photo, painted_photo
from tests.virtual_studio.piles import DAB_IN_SHADE
from tests.virtual_studio.printer import another_printer, jpeg_of

LABEL = "pear, lit side"
PUDDLE = ("ultramarine=3", "burnt sienna=2", "PW6=5")
LIT, UNREACHED = "62,14,38", "50,90,20"
LAYERED = ("--layer", "cup=block-in", "--medium", "finish=stand-oil")
HOLES = ("--hole", "25%,40%=cup", "--hole", "70%,60%=table", "--hole", "50%,20%=spoon")
SAMPLES = Path(__file__).parents[2] / "sample_images"


def said_by(refmatch: Shell, folder: Path) -> Iterator[tuple[str, dict[str, Any]]]:
    """Run every command with ``--json``; yield its name and the object that it prints.

    A name comes more than once where one run does not say all that the command can say.
    """
    for name, words in _all(folder):
        ran = refmatch(*words, "--json")
        assert ran.code == 0, ran.err
        yield name, json.loads(ran.out)
    yield "sheet to a file", json.loads((folder / "sheet.json").read_text("utf-8"))


def paths(content: object, above: str = "") -> Iterator[str]:
    """Yield the path of every key in an object: "recipes[].lab"."""
    if isinstance(content, dict):
        for key, value in content.items():
            path = f"{above}.{key}" if above else key
            yield path
            yield from paths(value, path)
    elif isinstance(content, list):
        for value in content:
            yield from paths(value, f"{above}[]")


def _all(folder: Path) -> Iterator[tuple[str, tuple[object, ...]]]:
    yield from _of_colours(folder)
    yield from _of_photos(folder)
    yield from _of_boxes(folder)
    yield from _of_records(folder)
    yield from _of_cards(folder)
    yield from _of_classes(folder)
    yield from _of_finders(folder)


def _of_colours(folder: Path) -> Iterator[tuple[str, tuple[object, ...]]]:
    yield "mix", ("mix", LIT, UNREACHED)
    yield "predict", ("predict", *PUDDLE, "--finish", "satin")
    yield "nudge", ("nudge", *PUDDLE)
    yield "nudge", ("nudge", *PUDDLE, "--to-grey")
    yield "demonstrate", ("demonstrate", "--out", folder / "strips.pdf")
    yield "demonstrate", ("demonstrate", "hansa yellow=1", "--only", "greyed")


def _of_photos(folder: Path) -> Iterator[tuple[str, tuple[object, ...]]]:
    photo = folder / "coffee.png"
    io.imsave(photo, data.coffee())
    yield "sample", ("sample", photo, *HOLES)
    yield "families", ("families", photo, "--families", 5)
    painting = folder / "coffee"
    options = (*HOLES, "--families", 4, "--painting", painting)
    yield "sheet", ("sheet", photo, "--out", folder / "sheet.pdf", *options)
    more = ("--nudges", "--plan", "--palette", 5, "--canvas", "40x30")
    yield "sheet", ("sheet", photo, "--out", folder / "sheet.json", *HOLES, *more)
    planned = ("--families", 6, "--palette", 5, "--canvas", "40x30")
    yield "plan", ("plan", SAMPLES / "garden-table.jpg", *planned)
    yield (
        "plan",
        ("plan", photo, "--families", 4, "--palette", 3, "--hole", "20%,70%=cup", *LAYERED),
    )
    whole = ("--corners", "1,1", "1,399", "599,1", "599,399")
    for name in ("first.png", "second.png"):  # the reference itself, darker the second time
        shade = 1.0 if name == "first.png" else 0.6
        io.imsave(folder / name, (shade * data.coffee()).astype("uint8"))
        yield (
            "canvas",
            ("canvas", folder / name, "--painting", painting, *whole, "--neutral", "9,9"),
        )


def _of_boxes(folder: Path) -> Iterator[tuple[str, tuple[object, ...]]]:
    mine = folder / "mine.toml"
    yield "box list", ("box", "list")
    yield "box new", ("box", "new", "--tube", "PB29", "--tube", "PW6", "--out", mine)
    yield "box show", ("box", "show")
    yield "box advise", ("box", "advise", LIT, "--count", 2)
    own = files(folder)
    how = ("--painted", own.plan, "--specular", "excluded", "--by", "mass")
    yield "box measure", ("box", "measure", own.file, *how, "--out", folder / "measured.toml")
    box, tubes = folder / "three.toml", map(built_in_tube, ("PW6", "yellow-ochre", "PB29"))
    write_box(box, Box("mine", tuple(tubes)))
    yield "card of a box", ("card", "--box", box, "--out", folder / "card.pdf")
    layout, painted = folder / "card.json", folder / "painted.jpg"
    shown = painted_photo(read_box(box), read_card_file(layout), 202, shot=SMALL_SHOT)
    painted.write_bytes(shown)
    taken = (painted, "--card", layout, "--box", box)
    yield "box photograph", ("box", "photograph", *taken, "--out", folder / "photographed.toml")


def _of_records(folder: Path) -> Iterator[tuple[str, tuple[object, ...]]]:
    pears, seen = rounds_example.boxed(), look(1)
    white = Added("titanium white", 0.5, (("titanium white", 1.0),))
    correction = advised(white, white)
    pears = with_round(pears, seen, round_of(pears, 0, seen, corrections=[correction]))
    kept_in = rounds_example.keep(folder / "pears", pears)
    whose = ("--painting", kept_in, "--target-label", LABEL)
    yield "did", ("did", 1, *whose)
    yield "did", ("did", "--added", "titanium white=1", *whose)
    yield "sheet", ("sheet", kept_in, "--out", folder / "again.pdf")
    yield "mix --again", ("mix", "--again", LABEL, "--painting", kept_in, "--amount", 20)
    table = a_table()
    painting = planned(table)
    for place in range(5):
        painting = looked_at(painting, table, place)
    painting = looked_at(painting, table, 5, wrong=DAB_IN_SHADE)
    learnt = kept(folder / "learnt", painting)
    yield "box learn", ("box", "learn", "--painting", learnt)
    yield "box learn", ("box", "learn", "--painting", learnt, "--undo")


def _of_classes(folder: Path) -> Iterator[tuple[str, tuple[object, ...]]]:
    """One student of two tubes: most is out of reach, and something is lent."""
    photo, taught = folder / "coffee.png", folder / "class"
    yield "class new", ("class", "new", taught, photo, *HOLES)
    tubes = ("--tube", "PW6", "--tube", "PY43")
    yield "class add", ("class", "add", taught, "--student", "Ann", *tubes)
    yield "class mix", ("class", "mix", taught)
    yield "class print", ("class", "print", taught)


def _of_finders(folder: Path) -> Iterator[tuple[str, tuple[object, ...]]]:
    printed, photo = folder / "values.pdf", folder / "values.jpg"
    yield "value finder", ("card", "--values", "--out", printed)
    photo.write_bytes(jpeg_of(another_printer(1), read_finder(printed.with_suffix(".json"))))
    yield "value finder", ("card", "--values", "--photo", photo)


def _of_cards(folder: Path) -> Iterator[tuple[str, tuple[object, ...]]]:
    photo = folder / "pears.png"
    photo.write_bytes(example.picture())
    garden = built_in_box("garden-table")
    targets = folder / "targets"
    create(targets, photo, example.asking(example.painting(3), box=box_to_toml(garden)), {})
    yield "card of a painting", ("card", "--painting", targets)
    card = dab_card_of(targets)
    meant = recipe_parts(read_painting(targets), 0)
    dabs = folder / "dabs.jpg"
    dark = [(tube, 0.5 * share if tube == "titanium white" else share) for tube, share in meant]
    of_another_slip = [("titanium white", 1.0), ("ivory black", 2.0)]
    piles = dict(
        zip((target.target for target in card.targets), (dark, of_another_slip), strict=False)
    )
    shot = Shot(width_px=1224, height_px=1632, tilt_deg=12.0)
    dabs.write_bytes(dabs_photo(garden, card, piles, 5, shot=shot))
    yield "check of a card", ("check", dabs, "--painting", targets)
    seen, where = laid_out(folder, painted(RECIPE), 1)
    said = (*where, *recipe_words(RECIPE), "--target", "40,-5,5")
    yield "check", ("check", seen, *said)
