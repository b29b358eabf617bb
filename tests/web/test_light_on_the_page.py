"""Light on the page: the card's spot tells the light, before and after it is taken."""

from __future__ import annotations

import io
import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from refmatch.errors import BalanceError, HoleError, UsageError
from refmatch.plan.amounts import Canvas
from refmatch.web.page import sitting_shown, spot_shown, values_shown
from refmatch.web.spot import look_at_spot
from tests.refusals import refused

SAMPLES = Path(__file__).parents[2] / "sample_images"
TRUTH = json.loads((SAMPLES / "garden-table.json").read_text())
CARD = {key: TRUTH["neutral"][key] for key in ("x_px", "y_px", "diameter_px")}
PLACE = (CARD["x_px"], CARD["y_px"], CARD["diameter_px"])


def do(desk, change, **fields):
    return desk.change(desk.sitting().painting.revision, change, fields)[0]


def parts_of(seen):
    return seen.sample, seen.balance, seen.refused


def mean_colour(data: bytes):
    """The card's mean in a picture of the whole frame, shape (3,), 0 to 255."""
    with Image.open(io.BytesIO(data)) as picture:
        pixels = np.asarray(picture.convert("RGB"), dtype=float)
        scale = pixels.shape[1] / TRUTH["size_px"][0]
    x, y, reach = (round(CARD[key] * scale) for key in ("x_px", "y_px", "diameter_px"))
    side = reach // 3
    return pixels[y - side : y + side, x - side : x + side].mean(axis=(0, 1))


def test_the_card_shows_the_light_left_in_the_photo_by_its_camera(still):
    """The rendering says what a white thing looks like in the photo; 5 mired is hardly noticed
    (common practice with lighting filters, no source)."""
    from refmatch.photo.light.locus import temperature_of

    truth = temperature_of(np.array(TRUTH["exposure"]["white_in_photo_xyz"]))
    found = look_at_spot(still, PLACE, "neutral").balance
    assert abs(1e6 / found.cast_kelvin - 1e6 / truth.kelvin) < 5.0
    assert abs(found.cast_duv - truth.duv) < 0.002


def test_looking_at_a_spot_says_what_taking_it_does(desk):
    before = desk.sitting().painting.revision
    told = spot_shown(*parts_of(look_at_spot(desk, PLACE, "neutral")))
    assert desk.sitting().painting.revision == before
    light = sitting_shown(do(desk, "light", method="neutral", **CARD))["light"]
    assert told["light"] == {key: light[key] for key in told["light"]}
    assert "warm" in told["light"]["words"]


def test_a_spot_that_tells_nothing_says_why(still):
    """Something burnt out has lost its colour: the brightest clipped place of the photo."""
    photo = still.reckoner.whole
    clipped = photo.clipped(0, 0, photo.height_px, photo.width_px)
    sums = np.cumsum(np.cumsum(clipped.astype(int), axis=0), axis=1)
    side = 8
    boxes = sums[side:, side:] - sums[:-side, side:] - sums[side:, :-side] + sums[:-side, :-side]
    row, column = np.unravel_index(np.argmax(boxes), boxes.shape)
    seen = look_at_spot(still, (column + side / 2 + 1.0, row + side / 2 + 1.0, 6.0), "white")
    assert seen.balance is None
    assert "burnt out" in seen.refused
    assert spot_shown(*parts_of(seen))["light"] is None


@pytest.mark.parametrize(
    ("place", "kind", "lstar", "error"),
    [
        ((-500.0, 10.0, 20.0), "neutral", None, HoleError),
        (PLACE, "grey-world", None, UsageError),
        (PLACE, "neutral", 101.0, BalanceError),
    ],
)
def test_what_is_no_spot_is_refused(still, place, kind, lstar, error):
    with pytest.raises(error):
        look_at_spot(still, place, kind, lstar)


def test_a_card_that_is_cropped_away_still_tells_the_light(desk):
    """A card is put into the picture to be cut off again."""
    do(desk, "light", method="neutral", **CARD)
    do(desk, "crop", left_px=0, top_px=0, width_px=1200, height_px=900)
    light = sitting_shown(desk.sitting())["light"]
    asked = {key: value for key, value in light["asked"].items() if value is not None}
    after = sitting_shown(do(desk, "light", **{**asked, "keep_light_percent": 20.0}))["light"]
    assert after["keep_light_percent"] == 20.0
    assert after["cast_kelvin"] == light["cast_kelvin"]
    frame_x, frame_y = light["asked"]["x_px"], light["asked"]["y_px"]
    found = look_at_spot(desk, (frame_x, frame_y, CARD["diameter_px"]), "neutral")
    assert round(found.balance.cast_kelvin, -2) == light["cast_kelvin"]


def test_a_spot_off_the_photo_is_refused_whatever_the_crop(desk):
    do(desk, "crop", left_px=400, top_px=300, width_px=900, height_px=700)
    with pytest.raises(UsageError):
        do(desk, "light", method="neutral", x_px=-401.0, y_px=0.0, diameter_px=20.0)


def test_a_try_of_keeping_some_light_shows_what_keeping_it_shows(desk):
    sitting = do(desk, "light", method="neutral", **CARD)
    tried = desk.pictures.picture(sitting.look, "keeping-40")
    gone = desk.pictures.picture(sitting.look, "balanced")
    kept = do(desk, "light", method="neutral", **CARD, keep_light_percent=40.0)
    assert tried == desk.pictures.picture(kept.look, "balanced")
    assert tried != gone


def test_the_card_is_grey_when_all_is_gone_and_warm_when_some_is_kept(desk):
    """Grey in sRGB has equal red, green and blue (IEC 61966-2-1); JPEG may stray by 2 of 255."""
    look = do(desk, "light", method="neutral", **CARD).look
    gone = mean_colour(desk.pictures.picture(look, "balanced"))
    some = mean_colour(desk.pictures.picture(look, "keeping-50"))
    all_of_it = mean_colour(desk.pictures.picture(look, "keeping-100"))
    assert np.ptp(gone) < 3.0
    assert gone[0] - gone[2] < some[0] - some[2] < all_of_it[0] - all_of_it[2]


@pytest.mark.parametrize("kind", ["keeping-101", "keeping--1", "keeping-", "keeping-x"])
def test_more_than_all_or_less_than_none_cannot_be_kept(still, kind):
    with pytest.raises(UsageError):
        still.pictures.picture(still.sitting().look, kind)


def test_exposure_is_told_in_stops_and_left_where_it_is_wanted(desk):
    set_by_card = sitting_shown(do(desk, "light", method="neutral", **CARD))["light"]
    left = sitting_shown(do(desk, "light", method="neutral", **CARD, set_exposure=False))["light"]
    truth = np.log2(1.0 / TRUTH["exposure"]["white_in_photo_xyz"][1])
    assert abs(set_by_card["exposure_stops"] - truth) < 0.05
    assert left["exposure_stops"] == 0.0
    assert left["words"] == set_by_card["words"]


@pytest.mark.parametrize("levels", [2, 3, 5, 7])
def test_values_add_up_and_are_told_with_their_greys(still, levels):
    asked = still.asked
    rows = values_shown(still.reckoner.values(asked.frame, asked.light, levels))["values"]
    values = [row["munsell_value"] for row in rows]
    assert len(rows) == levels
    assert values == sorted(values)
    assert abs(sum(row["share"] for row in rows) - 1.0) < 0.001
    assert all(row["colour"]["lab"][1:] == [0.0, 0.0] for row in rows)


def test_what_can_be_taken_back_says_which_change_of_the_light_it_was(desk):
    taken = {"method": "neutral", **CARD, "keep_light_percent": 0.0, "set_exposure": True}
    assert do(desk, "light", **taken).undo == "read the light from a grey spot"
    kept = {**taken, "keep_light_percent": 20.0}
    assert do(desk, "light", **kept).undo == "keep 20 % of the light"
    exposed = {**kept, "set_exposure": False}
    assert do(desk, "light", **exposed).undo == "keep the photo's exposure"
    stated = {**exposed, "method": "temperature", "kelvin": 2700.0}
    assert do(desk, "light", **stated).undo == "state the light's temperature"


def test_half_a_canvas_is_no_canvas_given_up(desk):
    do(desk, "canvas", width_cm=60.0, height_cm=40.0)
    with refused(UsageError, match="canvas's width"):
        do(desk, "canvas", height_cm=50.0)
    do(desk, "canvas", size="16x20in", grid_cm=5.0)
    assert desk.asked.canvas == Canvas(40.64, 50.8, 5.0)
    assert do(desk, "canvas").undo == "forget the canvas"
