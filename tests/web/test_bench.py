"""A box made on the bench: card, photo, mends, box, and all of it after a restart."""

from __future__ import annotations

import shutil
from pathlib import Path

import numpy as np
import pytest

from refmatch.colorimetry.lab import delta_e_00
from refmatch.errors import BoxError, CardError, RefmatchError, UsageError
from refmatch.paint.box import built_in_tube
from refmatch.paint.box_file import box_from_toml, read_box
from refmatch.recipe.mixture import Palette
from refmatch.web.bench.benches import Benches
from refmatch.web.bench.files import Readings
from refmatch.web.bench.workbench import Workbench
from refmatch.web.shelf import Shelf
from tests.refusals import refused
from tests.virtual_studio.instrument import random_mixes
from tests.virtual_studio.painted_card import SMALL_SHOT, painted_photo
from tests.virtual_studio.paints import another_painters

READINGS = "refmatch.web.bench.benches.Readings"
TUBES = (("PW6", "chalk"), ("PY43", "ochre"), ("burnt-sienna", None), ("PB29", "blue"))
SEED, WRONG, EMPTY = 201, 2, 9
"""Window 2 holds another paint than is printed, window 9 none."""


class Studio:
    """A shelf with one box and its bench, as ``begin`` laid it out in the folder."""

    def __init__(self, folder: Path) -> None:
        self.shelf = Shelf(folder)
        (bench,) = Benches(self.shelf).listed()
        self.key, self.box_key = bench["id"], bench["boxes"][0]

    @classmethod
    def begin(cls, folder: Path) -> Studio:
        shelf = Shelf(folder)
        Benches(shelf).begin(shelf.new_box("orchard", [built_in_tube(*tube) for tube in TUBES]))
        return cls(folder)

    @property
    def bench(self) -> Workbench:
        """The workbench as a server that was just started has it."""
        return Benches(self.shelf).open(self.key)


@pytest.fixture(scope="module")
def jpegs() -> dict[str, bytes]:
    """Photos of the same card: as printed but for two windows, and one without the grey card."""
    from refmatch.dabs.box_card import compose
    from refmatch.paint.box import Box

    box = Box("orchard", tuple(built_in_tube(pigment, name) for pigment, name in TUBES))
    card = compose(box)
    swapped = {WRONG: ("blue", 1, 1)}
    return {
        "painted": painted_photo(box, card, SEED, instead=swapped, empty=(EMPTY,), shot=SMALL_SHOT),
        "greyless": painted_photo(box, card, SEED, grey=False, shot=SMALL_SHOT),
    }


@pytest.fixture
def studio(tmp_path: Path) -> Studio:
    return Studio.begin(tmp_path / "paintings")


@pytest.fixture(scope="module")
def with_photo(jpegs, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a shelf whose bench has its photo."""
    folder = tmp_path_factory.mktemp("shelf")
    studio = Studio.begin(folder / "paintings")
    path = folder / "page one.jpg"
    path.write_bytes(jpegs["painted"])
    studio.bench.add_photo(path)
    path.unlink()
    return studio.shelf.folder


@pytest.fixture(scope="module")
def read_before() -> Readings:
    """Photos that some test has read already."""
    return Readings()


@pytest.fixture
def photographed(with_photo: Path, read_before: Readings, tmp_path: Path, monkeypatch) -> Studio:
    """A shelf whose bench has its photo; a server may take what was read of it as it was."""
    monkeypatch.setattr(READINGS, lambda: read_before)
    return Studio(shutil.copytree(with_photo, tmp_path / "paintings"))


def test_every_dab_is_found_and_an_empty_window_told(photographed: Studio, monkeypatch) -> None:
    monkeypatch.setattr(READINGS, Readings)  # by a server that has read no photo yet
    bench = photographed.bench.bench()
    states = ["empty" if number == EMPTY else "read" for number in range(len(bench["dabs"]))]
    assert [dab["state"] for dab in bench["dabs"]] == states
    assert all(np.shape(dab["outline"]) == (4, 2) for dab in bench["dabs"])
    assert bench["photos"][0]["name"] == "page one.jpg"


def test_a_dab_in_the_wrong_window_is_mended_and_the_box_is_better_for_it(
    photographed: Studio,
) -> None:
    """Truth: the paints of the virtual studio, which the fit never sees."""
    asis = photographed.bench.make("as it is")
    empty = [dab["dab"] for dab in asis["dabs"] if not dab["found"]]
    assert empty == [EMPTY]
    wrong = error_of(photographed)
    fields = {"dab": WRONG, "tube": "blue", "parts": 1, "white_parts": 1}
    bench = photographed.bench.change("painted", fields)
    assert bench["dabs"][WRONG]["painted"] == {
        "tube": "blue",
        "parts": 1,
        "white_parts": 1,
        "words": "1 to 1 white",
    }
    assert bench["made"]["is_behind"]
    assert not photographed.bench.make("mended")["made"]["is_behind"]
    assert error_of(photographed) < wrong


def error_of(studio: Studio) -> float:
    """Return the median dE00 of mixes by the box that was made."""
    (path,) = studio.shelf.folder.glob("boxes/*/box.toml")
    box, start = read_box(path), box_from_toml(studio.shelf.box_text(studio.box_key))
    painter = another_painters(start.tubes, SEED)
    parts = random_mixes(painter, 80, SEED)
    order = [[tube.name for tube in box.tubes].index(tube.name) for tube in start.tubes]
    own = Palette.of([box.tubes[i] for i in order], box.surface).lab(parts)
    return float(np.median(delta_e_00(own, painter.lab(parts))))


def test_the_box_made_is_one_of_the_shelf_and_starts_no_bench_of_its_own(
    photographed: Studio,
) -> None:
    made = photographed.bench.make("my own tubes")["made"]["id"]
    assert photographed.shelf.boxes()[made].name == "my own tubes"
    (listed,) = Benches(photographed.shelf).listed()
    assert {made, photographed.box_key} <= set(listed["boxes"])
    assert Benches(photographed.shelf).begin(made) == photographed.key


def test_a_dab_left_out_does_not_count_until_it_is_taken_again(photographed: Studio) -> None:
    bench = photographed.bench
    bench.change("leave_out", {"dab": 4, "left_out": True})
    assert bench.make("fewer")["dabs"][4]["found"] is None
    assert bench.change("put_back", {"dab": 4})["dabs"][4]["mend"] is None
    assert bench.make("all")["dabs"][4]["found"] is not None


def test_paint_beside_its_window_is_pointed_to(photographed: Studio, monkeypatch) -> None:
    before = photographed.bench.bench()
    middle = np.mean(before["dabs"][5]["outline"], axis=0)
    spot = {"x_px": float(middle[0]), "y_px": float(middle[1]), "diameter_px": 40.0}
    bench = photographed.bench.change("point", {"dab": EMPTY, **spot})
    assert bench["dabs"][EMPTY]["state"] == "read"
    pointed, neighbour = (row["colour"]["lab"] for row in (bench["dabs"][EMPTY], before["dabs"][5]))
    assert delta_e_00(np.array(pointed), np.array(neighbour)) < 1.0
    monkeypatch.setattr(READINGS, Readings)  # and by a server that has read nothing yet
    again = photographed.bench.bench()
    assert again["dabs"][EMPTY]["colour"] == bench["dabs"][EMPTY]["colour"]
    back = photographed.bench.change("put_back", {"dab": EMPTY})
    assert back["dabs"][EMPTY]["state"] == "empty"


@pytest.mark.parametrize(
    ("do", "fields", "told"),
    [
        ("point", {"dab": 1, "x_px": 9000.0, "y_px": 9000.0, "diameter_px": 60.0}, "outside"),
        ("point", {"dab": 1, "x_px": float("nan"), "y_px": 9.0, "diameter_px": 60.0}, "number"),
        ("painted", {"dab": 1, "tube": "plum", "parts": 1, "white_parts": 1}, "no tube 'plum'"),
        ("painted", {"dab": 1, "tube": "chalk", "parts": 1, "white_parts": 9}, "white itself"),
        ("painted", {"dab": 1, "tube": "blue", "parts": 0, "white_parts": 9}, "cannot be 0"),
        ("leave_out", {"dab": 99, "left_out": True}, "cannot be 99"),
        ("light", {"light": "moon"}, "not known"),
        ("away", {"photo": "none"}, "no longer there"),
        ("sell", {}, "no change"),
    ],
)
def test_what_cannot_be_is_refused_and_changes_nothing(
    photographed: Studio, do: str, fields: dict, told: str
) -> None:
    path = next(photographed.shelf.folder.glob("boxes/*/bench.json"))
    before = path.read_bytes()
    with refused(RefmatchError, match=told):
        photographed.bench.change(do, fields)
    assert path.read_bytes() == before


def test_another_photo_of_a_page_takes_its_place_and_old_spots_are_forgotten(
    photographed: Studio, jpegs, tmp_path: Path
) -> None:
    bench = photographed.bench
    bench.change("point", {"dab": 1, "x_px": 900.0, "y_px": 900.0, "diameter_px": 40.0})
    bench.change("leave_out", {"dab": 2, "left_out": True})
    path = tmp_path / "again.png"
    from PIL import Image

    (old,) = photographed.shelf.folder.glob("boxes/*/photos/*")
    with Image.open(old) as picture:
        picture.save(path)
    seen = bench.add_photo(path)
    assert [photo["name"] for photo in seen["photos"]] == ["again.png"]
    assert seen["dabs"][1]["mend"] is None
    assert seen["dabs"][2]["mend"]["left_out"]
    assert not old.exists()


def test_a_photo_without_the_grey_card_is_refused_and_not_kept(
    studio: Studio, jpegs, tmp_path: Path
) -> None:
    path = tmp_path / "page.jpg"
    path.write_bytes(jpegs["greyless"])
    with refused(CardError, match=r"grey card is missing in 'page\.jpg'"):
        studio.bench.add_photo(path)
    assert studio.bench.bench()["photos"] == []
    with refused(BoxError, match="0 dabs count"):
        studio.bench.make("none")


def test_other_paper_is_refused_while_photos_show_the_old(photographed: Studio) -> None:
    with refused(UsageError, match="other paper"):
        photographed.bench.new_card("letter", 49.5)
    assert photographed.bench.new_card("a4", 52.0)["card"]["grey_lstar"] == 52.0
    photographed.bench.change("away", {"photo": photographed.bench.bench()["photos"][0]["key"]})
    assert photographed.bench.new_card("letter", 52.0)["card"]["paper"] == "letter"


def test_damaged_notes_are_told(photographed: Studio) -> None:
    next(photographed.shelf.folder.glob("boxes/*/bench.json")).write_text('{"format": 1}')
    with refused(BoxError, match="damaged"):
        photographed.bench.bench()


def test_a_box_written_over_is_no_longer_shown_as_made(photographed: Studio) -> None:
    """A crash between box and notes must not lay the old residuals to the new box."""
    photographed.bench.make("made")
    path = next(photographed.shelf.folder.glob("boxes/*/box.toml"))
    path.write_text(path.read_text().replace('"made"', '"other"'))
    bench = photographed.bench.bench()
    assert bench["made"] is None
    assert all(dab["found"] is None for dab in bench["dabs"])
