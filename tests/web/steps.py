"""Every route that writes: how the page asks for it, and the disk failing meanwhile."""

from __future__ import annotations

import functools
import json
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from unittest.mock import patch

import httpx
from PIL import Image

from refmatch.dabs.box_card import read_card_file
from refmatch.paint.box_file import read_box
from refmatch.web.bench import files as bench_files
from refmatch.web.bench.files import key_of
from tests.cli.running import SAMPLES
from tests.dabs.coded import with_code
from tests.virtual_studio.painted_card import SMALL_SHOT, painted_photo
from tests.web.asking import Browser
from tests.writers import FULL, NEVER, PULLED, failing, remembering

Ask = Callable[[Browser], httpx.Response]

SEED = 17
PAINTING, BENCH = "pears", "orchard"
TUBES = [
    {"pigment": "PW6", "name": "chalk"},
    {"pigment": "PY43", "name": "ochre"},
    {"pigment": "PB29", "name": "blue"},
]


@dataclass(frozen=True)
class Step:
    """A request that writes: its route, how it is asked, and what goes before on a whole disk.

    ``before`` prepares the folder while no studio runs, ``laid`` the studio that is asked. Where
    what is printed is only ``kept_if_it_can_be``, it is given out all the same. ``outs`` are files
    besides the record: where one of them is said not to be written, the record may be.
    """

    route: str
    ask: Ask
    before: Callable[[Path], object] = lambda folder: None
    laid: Callable[[Browser], object] = lambda browser: None
    kept_if_it_can_be: bool = False
    outs: tuple[str, ...] = ()


def address(browser: Browser) -> str:
    return f"/api/paintings/{key_of(browser.shelf.folder / PAINTING)}"


def bench_address(browser: Browser) -> str:
    return f"/api/benches/{key_of(browser.shelf.folder / 'boxes' / BENCH)}"


def class_address(browser: Browser) -> str:
    return f"/api/classes/{key_of(browser.shelf.folder / 'classes' / 'tuesday')}"


def retitle(browser: Browser, title: str = "new") -> httpx.Response:
    return _change(browser, "title", title=title)


def light_of_bench(browser: Browser) -> httpx.Response:
    return _at_bench(browser, "changes", do="light", light="LED")


def _change(browser: Browser, do: str, **more: Any) -> httpx.Response:
    where = address(browser)
    asked = {"revision": browser.get(where).json()["revision"], "do": do, **more}
    return browser.post(f"{where}/changes", json=asked)


def _stepped(browser: Browser, way: str) -> httpx.Response:
    where = address(browser)
    return browser.post(f"{where}/{way}", json={"revision": browser.get(where).json()["revision"]})


def _at_bench(browser: Browser, what: str, **asked: Any) -> httpx.Response:
    where = bench_address(browser)
    asked["revision"] = browser.get(where).json()["revision"]
    return browser.post(f"{where}/{what}", json=asked)


def _photo_to_bench(browser: Browser) -> httpx.Response:
    where, data = bench_address(browser), (browser.shelf.folder / "page.jpg").read_bytes()
    revision = browser.get(where).json()["revision"]
    return browser.post(f"{where}/photos?name=page.jpg&revision={revision}", content=data)


def _tidied(do: str, **more: Any) -> Ask:
    return lambda browser: browser.post(f"{address(browser)}/shelf", json={"do": do, **more})


def _posted(path: str, photo: Path) -> Ask:
    def ask(browser: Browser) -> httpx.Response:
        name = f"{path}?name={photo.name}"
        return browser.post(f"{address(browser)}{name}", content=photo.read_bytes())

    return ask


def _hole(browser: Browser) -> str:
    hole: str = browser.get(f"{address(browser)}/checks").json()["puddles"][0]["hole"]
    return hole


def _laid(browser: Browser, what: str) -> str:
    """Return what the photo on a table is called."""
    key: str = browser.get(f"{address(browser)}/{what}").json()["photo"]["key"]
    return key


def _place(x_px: float, y_px: float, diameter_px: float) -> dict[str, float]:
    return {"x_px": x_px, "y_px": y_px, "diameter_px": diameter_px}


DABS, CANVAS = SAMPLES / "dab-board.jpg", SAMPLES / "garden-canvas.jpg"


def _judged(browser: Browser) -> httpx.Response:
    asked = {
        "photo": _laid(browser, "checks"),
        "way": "pointed",
        "hole": _hole(browser),
        "state": "wet",
        "light": "",
        "places": {"dab": _place(612, 616, 58), "grey": _place(781, 1280, 77)},
        "grey_lstar": 49.5,
    }
    return browser.post(f"{address(browser)}/checks", json=asked)


def _of_round(browser: Browser, what: str, **more: Any) -> httpx.Response:
    asked = {"hole": _hole(browser), "pile": 1, "number": 1, **more}
    return browser.post(f"{address(browser)}/checks/{what}", json=asked)


def _looked(browser: Browser) -> httpx.Response:
    asked = {
        "photo": _laid(browser, "canvas"),
        "places": {"grey": _place(1296, 520, 120)},
        "grey_lstar": 49.5,
    }
    return browser.post(f"{address(browser)}/canvas", json=asked)


def _spoil(folder: Path) -> None:
    (folder / PAINTING / "painting.json").write_bytes(b"{}")


def _spoil_box(folder: Path) -> None:
    (folder / "boxes" / "damaged.toml").write_text("no box")


def _put_box_away(browser: Browser) -> httpx.Response:
    key = key_of(browser.shelf.folder / "boxes" / "damaged.toml")
    return browser.post(f"/api/boxes/{key}/put-away")


def _checked(browser: Browser) -> None:
    _posted("/checks/photos", DABS)(browser)
    assert _judged(browser).status_code == 200


def _said_done(browser: Browser) -> httpx.Response:
    return _of_round(browser, "done", added=[{"name": "chalk", "parts": 1.0}])


def _undone(folder: Path) -> None:
    _before(folder, lambda browser: _stepped(browser, "undo"))


def _before(folder: Path, ask: Callable[[Browser], object]) -> None:
    browser = Browser(folder)
    browser.come_in()
    ask(browser)


def _in_a_new_studio(ask: Callable[[Browser], object]) -> Callable[[Path], None]:
    return lambda folder: _before(folder, ask)


P, B, C = "POST /api/paintings/{id}", "POST /api/benches/{id}", "POST /api/classes/{id}"

STEPS: dict[str, Step] = {
    "begin": Step(
        "POST /api/paintings",
        lambda browser: browser.post(
            "/api/paintings?name=plums.jpg",
            content=(browser.shelf.folder / PAINTING / "pears.jpg").read_bytes(),
        ),
    ),
    "change": Step(f"{P}/changes", retitle),
    "another photo": Step(f"{P}/photos", _posted("/photos", SAMPLES / "orchard-shade.jpg")),
    "undo": Step(f"{P}/undo", lambda browser: _stepped(browser, "undo")),
    "redo": Step(f"{P}/redo", lambda browser: _stepped(browser, "redo"), _undone),
    "copy": Step(f"{P}/shelf", _tidied("copy", title="A copy")),
    "rename": Step(f"{P}/shelf", _tidied("rename", title="Another name")),
    "put_away": Step(f"{P}/shelf", _tidied("put_away")),
    "take_out": Step(f"{P}/shelf", _tidied("take_out"), _in_a_new_studio(_tidied("put_away"))),
    "delete": Step(f"{P}/shelf", _tidied("delete")),
    "restore": Step(f"{P}/shelf", _tidied("restore"), _in_a_new_studio(_tidied("delete"))),
    "rescue": Step(
        f"{P}/rescue", lambda browser: browser.post(f"{address(browser)}/rescue"), _spoil
    ),
    "box": Step(
        "POST /api/boxes",
        lambda browser: browser.post("/api/boxes", json={"name": "white", "tubes": TUBES[:1]}),
    ),
    "box put away": Step("POST /api/boxes/{id}/put-away", _put_box_away, _spoil_box),
    "bench": Step(
        "POST /api/benches",
        lambda browser: browser.post(
            "/api/benches", json={"box": "comes-garden-table", "paper": "a4", "grey_lstar": 49.5}
        ),
    ),
    "bench of the sample": Step(
        "POST /api/benches/sample", lambda browser: browser.post("/api/benches/sample")
    ),
    "bench of a photo": Step(
        "POST /api/benches/photos",
        lambda browser: browser.post(
            "/api/benches/photos?name=page.jpg",
            content=(browser.shelf.folder / "page.jpg").read_bytes(),
        ),
        lambda folder: shutil.rmtree(folder / "boxes"),
    ),
    "card of a bench": Step(
        f"{B}/card", lambda browser: _at_bench(browser, "card", paper="a4", grey_lstar=52.0)
    ),
    "light of a bench": Step(f"{B}/changes", light_of_bench),
    "photo of a bench": Step(f"{B}/photos", _photo_to_bench),
    "box of a bench": Step(
        f"{B}/box",
        lambda browser: _at_bench(browser, "box", name="My tubes"),
        _in_a_new_studio(_photo_to_bench),
    ),
    "dab card": Step(
        f"{P}/dab-card",
        lambda browser: browser.post(
            f"{address(browser)}/dab-card", json={"paper": "a4", "grey_lstar": 49.5}
        ),
        outs=("dab-card.pdf",),
    ),
    "photo of dabs": Step(f"{P}/checks/photos", _posted("/checks/photos", DABS)),
    "check": Step(f"{P}/checks", _judged, laid=_posted("/checks/photos", DABS)),
    "done": Step(f"{P}/checks/done", _said_done, _in_a_new_studio(_checked)),
    "not done": Step(
        f"{P}/checks/not-done",
        lambda browser: _of_round(browser, "not-done"),
        _in_a_new_studio(lambda browser: (_checked(browser), _said_done(browser))),
    ),
    "mixed": Step(
        f"{P}/checks/mixed",
        lambda browser: browser.post(
            f"{address(browser)}/checks/mixed",
            json={"hole": _hole(browser), "parts": "4 chalk, 1 blue"},
        ),
    ),
    "photo of the canvas": Step(f"{P}/canvas/photos", _posted("/canvas/photos", CANVAS)),
    "canvas": Step(f"{P}/canvas", _looked, laid=_posted("/canvas/photos", CANVAS)),
    "class": Step(
        "POST /api/classes",
        lambda browser: browser.post(
            "/api/classes",
            json={"painting": address(browser).rpartition("/")[2], "name": "Friday"},
        ),
    ),
    "students": Step(
        f"{C}/students",
        lambda browser: browser.post(
            f"{class_address(browser)}/students",
            json={"table": "Ben, PW6, PB29\nCleo, garden-table", "replace": False},
        ),
    ),
    "sheet": Step(
        "GET /api/paintings/{id}/sheet.pdf",
        lambda browser: browser.get(f"{address(browser)}/sheet.pdf"),
        kept_if_it_can_be=True,
    ),
}
"""Each route that writes, at least once; all that can be done on the shelf under its own word."""


def lay_out(folder: Path) -> Path:
    """Make a shelf: a painting of a few pixels and two steps, a box, its bench, a class."""
    browser = Browser(folder)
    browser.come_in()
    photo = folder.parent / "pears.jpg"
    with Image.open(SAMPLES / "garden-table.jpg") as whole:
        whole.resize((160, 120)).save(photo)
    browser.shelf.new_from_photo(photo, PAINTING)
    made = browser.post("/api/boxes", json={"name": BENCH, "tubes": TUBES}).json()
    browser.post("/api/benches", json={"box": made["id"], "paper": "a4", "grey_lstar": 49.5})
    at = folder / "boxes" / BENCH
    box, card = read_box(at / "start.toml"), read_card_file(at / "card.json")
    page = with_code(painted_photo(box, card, SEED, shot=SMALL_SHOT), card)
    (folder / "page.jpg").write_bytes(page)
    asked = (
        ("box", {"box": made["id"]}),
        ("punch", {"x_px": 80.0, "y_px": 60.0}),
        ("title", {"title": "one"}),
    )
    for do, more in asked:
        assert _change(browser, do, **more).status_code == 200
    key = address(browser).rpartition("/")[2]
    browser.post("/api/classes", json={"painting": key, "name": "Tuesday"})
    table = {"table": "Ann, PW6, PB29", "replace": False}
    assert browser.post(f"{class_address(browser)}/students", json=table).status_code == 200
    return folder


def told(folder: Path) -> dict[str, object]:
    """Return all that a studio says of a shelf that it has just begun with."""
    browser = Browser(folder)
    browser.come_in()
    found: dict[str, object] = {}
    for path in ("/api/start", "/api/benches", "/api/classes"):
        found[path] = browser.get(path).json()
    for path, rows in (("/api/benches", "benches"), ("/api/classes", "classes")):
        for row in found[path][rows]:  # type: ignore[index]
            found[row["id"]] = browser.get(f"{path}/{row['id']}").json()
    for what in ("", "/checks", "/canvas"):
        found[what or "painting"] = browser.get(f"{address(browser)}{what}").json()
    found["sheets"] = _sheets(folder)
    # where not even a line could be taken back, a refused step is left to do again, or is mended
    for key in ("redo", "flags"):
        found["painting"].pop(key, None)  # type: ignore[attr-defined]
    return found


def _sheets(folder: Path) -> object:
    try:
        return json.loads((folder / PAINTING / "painting.json").read_bytes()).get("sheets")
    except (OSError, ValueError):
        return None


class Trial:
    """A request tried on a disk that fails: begun with, and what is told where nothing fails."""

    def __init__(self, name: str, begun: Path, within: Path) -> None:
        self.step, self.within = STEPS[name], within
        self.begun = Path(shutil.copytree(begun, within / "at"))
        self.step.before(self.begun)
        self.begun = self.begun.rename(within / "begun")
        self._found: dict[tuple[str, int], Any] = {}
        self._page = functools.cache(bench_files._read)
        folder = self._folder()
        self.before = self._told(folder)
        with failing(FULL, NEVER, folder) as counted:
            answer = self._ask(self._studio(folder))
        assert answer.status_code == 200, answer.text
        self.calls = counted.calls
        self.changes = self._told(folder) != self.before
        shutil.rmtree(folder)

    def at(self, first: int, disk: str) -> None:
        """Let the disk fail at a call, see what came of it, and try again."""
        folder = self._folder()
        browser = self._studio(folder)
        with failing(disk, first, folder):
            answer = self._ask(browser)
        where = f"{self.step.route}, {disk} at call {first}: {answer.text[:300]}"
        now = self._told(folder)
        begun = self.before["/api/start"]["damaged"]  # type: ignore[index]
        assert now["/api/start"]["damaged"] in ([], begun), where  # type: ignore[index]
        if answer.status_code != 200:
            assert answer.status_code in (400, 404, 409, 507), where
            sentence = answer.json()["error"]
            assert sentence.endswith((".", "?")), where
            assert "\n" not in sentence, where
            # a stick may go when all is saved and only the answer is not yet given
            is_open = disk == PULLED or any(out in sentence for out in self.step.outs)
            if not is_open:
                assert now == self.before, f"{where}{_other(now, self.before)}"
            if now == self.before:
                again = self._ask(browser)
                assert again.status_code == 200, f"{where}again: {again.text}"
                now = self._told(folder)
        if not self.step.kept_if_it_can_be:
            assert (now != self.before) == self.changes, where
        shutil.rmtree(folder)

    def _told(self, folder: Path) -> dict[str, object]:
        with patch("refmatch.web.bench.files._read", self._page):
            return told(folder)

    def _folder(self) -> Path:
        return Path(shutil.copytree(self.begun, self.within / "at"))

    def _studio(self, folder: Path) -> Browser:
        browser = Browser(folder)
        browser.come_in()
        self.step.laid(browser)
        return browser

    def _ask(self, browser: Browser) -> httpx.Response:
        with remembering(self._found):
            return self.step.ask(browser)


def _other(now: dict[str, object], before: dict[str, object]) -> str:
    return "".join(
        f"\n{key}: {str(now.get(key))[:1500]}\nwas {str(before.get(key))[:1500]}"
        for key in now.keys() | before.keys()
        if now.get(key) != before.get(key)
    )
