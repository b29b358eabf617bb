"""The doors to a painting, and what of it can be told alike through each of them."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.cli.running import Ran, Shell
from tests.web.asking import Browser

Json = dict[str, Any]


@dataclass
class Doors:
    """A prompt and a page beside each other, on one photo."""

    prompt: Shell
    browser: Browser
    photo: Path
    folder: Path

    @classmethod
    def on(cls, photo: Path, folder: Path) -> Doors:
        """Open both doors, with nothing on the shelf yet."""
        browser = Browser(folder / "paintings")
        browser.come_in()
        return cls(Shell(), browser, photo, folder)

    def planned(self, *words: object, photo: Path | None = None) -> Path:
        """Return the folder of a painting that the prompt planned."""
        folder = self.folder / "from-the-prompt"
        self.told("sheet", photo or self.photo, *words, "--painting", folder)
        return folder

    def told(self, command: str, *words: object) -> Json:
        """Return what a command says as JSON; a sheet is written as JSON too, under "written"."""
        out = self.folder / "out.json"
        extra = ("--out", out) if command == "sheet" else ()
        ran: Ran = self.prompt(command, *words, *extra, "--json")
        assert ran.code == 0, ran.err
        told = ran.json()
        return {**told, "written": json.loads(out.read_text("utf-8"))} if extra else told

    def begun(self, *changes: Json) -> str:
        """Return the address of a painting that was begun and changed on the page."""
        answer = self.browser.post(
            f"/api/paintings?name={self.photo.name}", content=self.photo.read_bytes()
        )
        assert answer.status_code == 200, answer.text
        base = f"/api/paintings/{answer.json()['id']}"
        for change in changes:
            self.change(base, **change)
        return base

    def opened(self, folder: Path) -> str:
        """Return the address of a painting that the page opens from its folder."""
        return f"/api/paintings/{self.browser.shelf.open_folder(folder)}"

    def kept_at(self, base: str) -> Path:
        """Return the folder of a painting of the page."""
        return self.browser.shelf.folder_of(base.rpartition("/")[2])

    def change(self, base: str, **what: object) -> Json:
        """Make a change on the page; "hole" may be given by its number."""
        state = self.page(base)
        if isinstance(what.get("hole"), int):
            what["hole"] = state["holes"][what["hole"] - 1]["key"]
        answer = self.browser.post(f"{base}/changes", json={"revision": state["revision"], **what})
        assert answer.status_code == 200, answer.text
        changed: Json = answer.json()
        return changed

    def page(self, base: str, view: str = "") -> Json:
        """Return what the page is told of a painting, or a view of it."""
        answer = self.browser.get(f"{base}{view}")
        assert answer.status_code == 200, answer.text
        found: Json = answer.json()
        return found


def laid(recipe: Json) -> tuple[tuple[str, int, int], ...]:
    """Return what of a recipe is laid out: tube, parts, and the white of a let-down."""
    return tuple(
        (line["tube"], line["parts"], line["let_down_white_parts"]) for line in recipe["laid_out"]
    )


def tubes_in(recipe: Json) -> set[str]:
    return {portion["tube"] for portion in recipe["portions"]}


def texts(flags: list[Json]) -> list[tuple[str, str]]:
    return [(flag["name"], flag["text"]) for flag in flags]


def by_command(told: Json) -> list[Any]:
    """Return what a sheet's JSON says of each colour, in the form of `by_page`."""
    return [
        (
            target["label"],
            [round(value, 3) for value in target["lab"]],
            target["words"],
            target["in_gamut"],
            target["reach"],
            [
                (recipe["why"], laid(recipe), recipe["verdict"], recipe["words"], recipe["trade"])
                for recipe in target["recipes"]
            ],
            texts(target["flags"]),
        )
        for target in told["targets"]
    ]


def by_page(state: Json) -> list[Any]:
    """Return what the page is told of each colour, in the form of `by_command`."""
    return [
        (
            hole["label"],
            [round(value, 3) for value in hole["colour"]["lab"]],
            hole["words"],
            hole["in_gamut"],
            hole["reach"],
            [
                (recipe["why"], laid(recipe), recipe["verdict"], recipe["words"], recipe["trade"])
                for recipe in hole["recipes"]
            ],
            texts(hole["flags"]),
        )
        for hole in state["holes"]
    ]


def without_day(content: Json) -> Json:
    """Return a sheet's content without what tells two paintings of one day and photo apart."""
    return {key: value for key, value in content.items() if key not in ("date", "title")}
