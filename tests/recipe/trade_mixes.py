"""The mixes that everybody knows: which tubes a tutor takes for a colour, and which they laugh at.

All of it is common practice with no source, the Lab (D50) of each thing from memory. The table was
written before any recipe was looked at; it is read by a test and by a benchmark.
"""

from __future__ import annotations

from typing import NamedTuple

from refmatch.paint.box import Box, built_in_tube
from refmatch.paint.box_file import built_in_box

WHITE = "titanium-white"

ABBREVIATIONS = {
    "HY": "hansa-yellow",
    "YO": "yellow-ochre",
    "PR": "pyrrole-red",
    "NR": "naphthol-red",
    "QM": "quinacridone-magenta",
    "BS": "burnt-sienna",
    "BU": "burnt-umber",
    "RU": "raw-umber",
    "UB": "ultramarine-blue",
    "CB": "cerulean-blue-chromium",
    "PB": "phthalo-blue",
    "PG": "phthalo-green",
    "IB": "ivory-black",
}


class Mix(NamedTuple):
    """A colour of the trade: the tubes that may go into it beside white, and those never.

    ``takes`` holds for the boxes with earths; ``six`` adds what a box of six has to take instead.
    """

    name: str
    lab: tuple[float, float, float]
    takes: str
    laughs: str
    six: str = ""


MIXES = (
    Mix("sunlit skin", (74, 14, 20), "YO BS PR NR", "PB PG IB UB", "HY BU"),
    Mix("shadowed skin", (48, 16, 20), "YO BS BU RU UB CB PR NR", "IB PB", "HY"),
    Mix("foliage in sun", (52, -22, 40), "HY YO PG PB UB CB BS BU RU", "QM", "IB NR"),
    Mix("foliage in shade", (32, -12, 18), "PG UB PB YO BS BU RU HY IB", "QM"),
    Mix("distant green", (62, -8, 6), "CB UB YO BS BU RU PG PB", "QM PR", "HY IB"),
    Mix("sky at the zenith", (54, -5, -36), "UB CB PB", "PR NR IB HY"),
    Mix("sky at the horizon", (80, -6, -10), "CB PB PG UB YO BS RU", "PR NR QM IB", "HY BU"),
    Mix("storm grey", (50, -2, -6), "UB BU BS RU CB IB", "PR NR QM HY PG"),
    Mix("linen in sun", (84, 1, 10), "YO BU BS RU UB IB", "PG PB QM PR NR", "HY"),
    Mix("linen in shade", (60, 1, 3), "UB BU BS RU YO IB CB", "QM PG PR NR"),
    Mix("terracotta", (52, 28, 32), "BS YO PR HY", "QM PB PG UB CB IB", "NR BU"),
    Mix("brick", (40, 26, 22), "BS PR NR BU RU YO", "PG PB CB", "HY"),
    Mix("straw", (74, 4, 36), "YO HY BS BU RU", "QM PB PG"),
    Mix("sand", (72, 5, 20), "YO BU BS RU", "QM PG PB", "HY UB"),
    Mix("wet stone", (36, 0, 2), "UB BU BS RU YO IB", "QM PR NR HY PG"),
    Mix("plum", (26, 20, -8), "QM UB PR NR BU BS RU PB", "HY PG CB", "IB"),
    Mix("rose", (66, 38, 4), "QM PR NR", "UB PB PG CB IB BU", "UB"),
    Mix("lemon", (88, -6, 66), "HY PG", "UB PR NR QM IB CB BU"),
    Mix("orange", (66, 42, 66), "HY PR NR", "QM UB PB PG IB CB"),
    Mix("snow in shade", (76, -1, -12), "UB CB BS BU RU PB", "PG HY PR NR"),
    Mix("brown hair", (30, 10, 14), "BU BS RU UB YO", "QM PG PB", "HY IB NR"),
    Mix("bark", (40, 5, 10), "BU BS RU UB YO IB", "QM PR PG", "HY"),
    Mix("night", (16, 2, -12), "UB BU BS RU PB IB", "HY YO CB"),
    Mix("chromatic black", (13, 0, -1), "UB BU BS RU PG QM PR NR PB", "CB HY YO"),
    Mix("brass", (58, 6, 42), "YO HY BU BS RU", "QM PB PG CB", "IB"),
    Mix("slate", (42, -3, -8), "UB BU BS RU CB PB IB", "QM PR NR HY PG"),
    Mix("blue-black", (15, 1, -7), "UB BU BS RU PB", "QM CB HY YO PR NR"),
    Mix("olive", (44, -4, 28), "YO HY UB BU RU IB PG BS CB", "QM"),
    Mix("cream", (90, 1, 14), "YO HY BS PR", "PB PG UB CB QM", "NR BU"),
    Mix("white shirt", (92, -1, 2), "YO UB BU RU IB CB BS", "QM PG PR NR", "HY"),
    Mix("red apple", (42, 48, 28), "PR NR QM BS YO HY", "UB PB PG CB IB"),
    Mix("violet shadow", (38, 12, -22), "UB QM PR NR BS", "HY PG YO", "BU"),
    Mix("stone in sun", (70, 1, 6), "YO UB BU BS RU IB", "QM PG PR NR"),
)


def primaries_and_earths() -> Box:
    """Return eight tubes: three primaries with a second blue, three earths, white."""
    names = ["HY", "PR", "UB", "PB", "YO", "BS", "RU"]
    return Box("primaries and earths", _tubes(names, "artist"))


def six_student_tubes() -> Box:
    """Return a beginner's six tubes, of a student's line."""
    return Box("six student tubes", _tubes(["HY", "NR", "UB", "BU", "IB"], "student"))


def boxes() -> dict[str, Box]:
    """Return the three boxes that the table is held against."""
    return {
        "twelve usual": built_in_box("garden-table"),
        "primaries and earths": primaries_and_earths(),
        "six student tubes": six_student_tubes(),
    }


def allowed(mix: Mix, box: Box) -> set[str]:
    """Return the pigments that a tutor would take from this box, white among them."""
    names = f"{mix.takes} {mix.six}" if len(box.tubes) == 6 else mix.takes
    return {WHITE, *(ABBREVIATIONS[name] for name in names.split())}


def laughed_at(mix: Mix, box: Box) -> set[str]:
    """Return the pigments that they would laugh at; none that the box has no other way without."""
    spared = mix.six.split() if len(box.tubes) == 6 else []
    return {ABBREVIATIONS[name] for name in mix.laughs.split() if name not in spared}


def _tubes(names: list[str], grade: str):  # type: ignore[no-untyped-def]
    keys = [WHITE, *(ABBREVIATIONS[name] for name in names)]
    return tuple(built_in_tube(key, key, grade) for key in keys)
