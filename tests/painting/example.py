"""An invented painting for the tests: pears on a garden table. Its figures are made up."""

from __future__ import annotations

import io
import math
from dataclasses import replace

import numpy as np
from PIL import Image, ImageDraw

from refmatch.colorimetry.display import lab_to_srgb8
from refmatch.colorimetry.lab import delta_e_00, lch_differences
from refmatch.colorimetry.words import describe
from refmatch.flag import Flag
from refmatch.painting.asked import Asked, AskedHole
from refmatch.painting.model import Mass, Painting, SavedFile, SavedValues, TargetWords, TubeOnTable
from refmatch.photo.light.balance import Balance
from refmatch.photo.load import Frame
from refmatch.recipe.model import Answer, Laid, Portion, Recipe, Step
from refmatch.target import Target

TUBES = {
    "titanium white": ("PW6", (96, 0, 1), (96, 0, 1), ()),
    "hansa yellow": ("PY74", (86, 7, 100), (92, -2, 47), ()),
    "yellow ochre": ("PY43", (56, 19, 52), (88, 5, 21), ()),
    "cadmium orange": ("PO20", (64, 56, 75), (84, 28, 34), ("cadmium", "selenium")),
    "quinacridone rose": ("PV19", (24, 44, 12), (72, 37, -9), ()),
    "burnt sienna": ("burnt-sienna", (26, 28, 26), (80, 11, 10), ()),
    "ultramarine blue": ("PB29", (6, 22, -39), (76, -3, -27), ()),
    "cerulean blue": ("PB36", (35, -9, -46), (83, -7, -15), ("cobalt", "chromium")),
    "phthalo green": ("PG7", (13, -10, -13), (75, -40, -5), ()),
    "raw umber": ("raw-umber", (10, 1, 1), (71, 0, 2), ("manganese",)),
}

PLACES = (
    ("pear, lit side", (73, -6, 48), (24, 7, 7, 1), (0.31, 0.52)),
    ("pear, turning", (41, -4, 43), (0, 7, 8, 2), (0.40, 0.47)),
    ("pear, shadow", (47, 0, 32), (2, 10, 7, 3), (0.31, 0.72)),
    ("yellow pear, light", (92, -8, 45), (10, 1, 0, 0), (0.55, 0.56)),
    ("enamel jug, lit", (46, -3, -32), (7, 0, 0, 2), (0.76, 0.38)),
    ("enamel jug, shadow", (18, 0, -12), (1, 0, 2, 9), (0.89, 0.64)),
    ("cast shadow on cloth", (14, 0, -4), (0, 1, 3, 6), (0.80, 0.75)),
    ("wall behind", (41, 6, -9), (8, 1, 1, 5), (0.58, 0.12)),
)


def picture(width: int = 900, height: int = 600) -> bytes:
    """Draw a still life of flat shapes, as PNG."""
    image = Image.new("RGB", (width, height), (98, 92, 112))
    draw = ImageDraw.Draw(image)
    draw.rectangle((0, int(0.55 * height), width, height), fill=(196, 182, 176))
    for x, y, radius, colour in (
        (0.30, 0.60, 0.13, (184, 190, 104)),
        (0.56, 0.64, 0.12, (252, 236, 140)),
        (0.78, 0.42, 0.16, (70, 116, 162)),
    ):
        r = radius * height * 1.4
        draw.ellipse((x * width - r, y * height - r, x * width + r, y * height + r), fill=colour)
    stream = io.BytesIO()
    image.save(stream, "PNG")
    return stream.getvalue()


def values_picture(width: int = 450, height: int = 300) -> bytes:
    """Draw its value study in four greys, as PNG."""
    with Image.open(io.BytesIO(picture(width, height))) as image:
        grey = np.asarray(image.convert("L"))
    study = (np.digitize(grey, [70, 120, 180]) * 70 + 25).astype(np.uint8)
    stream = io.BytesIO()
    Image.fromarray(study).save(stream, "PNG")
    return stream.getvalue()


def pictures(width: int = 900, height: int = 600) -> dict[str, bytes]:
    return {"balanced": picture(width, height), "values": values_picture(width // 2, height // 2)}


def table() -> tuple[TubeOnTable, ...]:
    return tuple(
        TubeOnTable(
            name, (index,), index == "PW6", np.array(full, float), np.array(tint, float), cautions
        )
        for name, (index, full, tint, cautions) in TUBES.items()
    )


def painting(count: int = 8, size: tuple[int, int] = (900, 600)) -> Painting:
    """Return a painting of ``count`` targets on a photo of ``size`` (width, height)."""
    places = [_place(number, size) for number in range(count)]
    targets = tuple(target for target, _ in places)
    answers = tuple(answer for _, answer in places)
    share = 1.0 / max(count, 1)
    box = 'format = "refmatch-box"\nversion = 1\nname = "garden table"\n'
    return Painting(
        asked=asked(targets, box, Frame(0, 0, *size)),
        date="2026-11-24",
        photo=SavedFile("pears.png", "0" * 64),
        frame=Frame(0, 0, *size),
        balance=Balance(
            "neutral",
            np.array([[1.1, 0.01, 0.0], [0.02, 0.98, 0.1 + 0.2], [0.0, 1e-17, 1.7]]),
            cast_kelvin=3187.5,
            keep_light_percent=20.0,
        ),
        viewing="D50, CIE 1931 2 degrees",
        targets=targets,
        words=tuple(_words(number, target) for number, target in enumerate(targets)),
        recipes=answers,
        chosen=(0,) * count,
        families=tuple(Mass(t.label, t.lab, share) for t in targets[:8]),
        values=SavedValues((2.0, 4.0, 6.0, 8.5), (0.2, 0.3, 0.35, 0.15)),
        table=table(),
        pictures=None,
    )


def asking(
    painting: Painting,
    *,
    title: str | None = None,
    box: str | None = None,
    finish: str | None = None,
) -> Painting:
    """Return a painting of which something else is asked; nothing is reckoned anew."""
    asked = painting.asked
    mixing = replace(asked.mixing, finish=finish or asked.mixing.finish)
    title = asked.title if title is None else title
    box = asked.box if box is None else box
    return replace(painting, asked=replace(asked, title=title, box=box, mixing=mixing))


def asked(targets: tuple[Target, ...], box: str, frame: Frame) -> Asked:
    """Return what would ask for targets: a hole for each, named by its label."""
    holes = tuple(
        AskedHole(f"h{n}", t.x_px, t.y_px, t.diameter_px, t.label)
        for n, t in enumerate(targets, start=1)
    )
    return Asked("Pears under the lamp", box, frame=frame, holes=holes)


def _place(number: int, size: tuple[int, int]) -> tuple[Target, Answer]:
    label, lab, parts, (x, y) = PLACES[number % len(PLACES)]
    turn = number // len(PLACES)
    lab = np.array(lab, float) + turn * np.array([-3.0, 2.0, 1.0]) / 3.0
    target = Target(
        label if not turn else f"{label} ({turn + 1})",
        lab,
        (x * (1.0 - 0.13 * turn)) * size[0],
        (y * (1.0 - 0.1 * turn)) * size[1],
        0.02 * min(size),
        share=None,
        spread_delta_e_00=1.25,
        clipped_fraction=0.0,
    )
    names = _tubes_for(lab)
    recipes = tuple(
        _recipe(why, target.lab, names[: 4 - cut], parts, off)
        for why, cut, off in (
            ("closest", 0, 0.3),
            ("fewest tubes", 1, 1.4),
            ("without black", 0, 2.2),
        )
    )
    reach, flags = None, ()
    if number % 8 == 3:
        reach = (
            "Out of reach: not strong enough, your nearest yellow falls 6 short in chroma; "
            "value and hue are held. Cadmium yellow light (PY35) would bring it within reach."
        )
    if number % 8 == 5:
        flags = (Flag("uneven", "The hole holds two colours; punch a smaller one."),)
    answer = Answer(target.label, target.lab, reach is None, reach, recipes, flags)
    return replace(target, flags=flags), answer


def _tubes_for(lab: np.ndarray) -> tuple[str, ...]:
    if lab[2] > 10:
        return ("titanium white", "hansa yellow", "burnt sienna", "phthalo green")
    return ("titanium white", "quinacridone rose", "raw umber", "ultramarine blue")


def _recipe(why, lab, names, parts, off) -> Recipe:
    laid = tuple(
        Laid(name, part, 9 if name == "phthalo green" else 0)
        for name, part in zip(names, parts, strict=False)
        if part
    )
    made = np.asarray(lab) + off * np.array([0.5, -0.6, 0.8])
    d_l, d_c, d_h = (float(d) for d in lch_differences(made, lab))
    distance = float(delta_e_00(made, lab))
    return Recipe(
        why=why,
        laid_out=laid,
        portions=tuple(Portion(p.tube, (TUBES[p.tube][0],), float(p.parts)) for p in laid),
        lab=made,
        delta_e_00=distance,
        delta_e_00_hand=distance + 0.6,
        delta_e_00_hand_p90=distance + 1.5,
        objective=distance + 1.0,
        delta_lstar=d_l,
        delta_cstar=d_c,
        delta_hstar=d_h,
        verdict="match" if distance < 1 else "good",
        words="" if distance < 0.5 else "a touch too light, too dull",
        steps=_steps(laid, made),
    )


def _steps(laid: tuple[Laid, ...], end: np.ndarray) -> tuple[Step, ...]:
    steps = []
    for each in laid:
        if each.let_down_white_parts:
            tint = np.array(TUBES[each.tube][2], float)
            text = f"let down 1 {each.tube} in 9 titanium white"
            steps.append(Step("let down", text, each.tube, 1.0, tint))
    ordered = sorted(laid, key=lambda p: p.tube == "titanium white")
    for position, each in enumerate(ordered):
        start = np.array(TUBES[ordered[0].tube][1], float)
        lab = start + (end - start) * math.sqrt((position + 1) / len(ordered))
        last = position == len(ordered) - 1
        verb = "lay out" if position == 0 else "white last:" if last else "add"
        flags = ()
        if position == 1 and each.let_down_white_parts:
            flags = (Flag("stray_hue", "goes green here"),)
        text = f"{verb} {each.parts} {each.tube}"
        steps.append(Step(verb, text, each.tube, float(each.parts), lab, flags))
    return tuple(steps)


def _words(number: int, target: Target) -> TargetWords:
    neighbours = ()
    if number:
        neighbours = (f"one and a half values darker, warmer, duller than {number}",)
    return TargetWords(describe(target.lab), neighbours)


def photo_copy(width: int, height: int) -> np.ndarray:
    """Return a plain picture of one colour, for photos whose looks do not matter."""
    return np.broadcast_to(lab_to_srgb8(np.array([50.0, 20.0, 20.0])), (height, width, 3))
