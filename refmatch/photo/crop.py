"""Cutting a photo to what will be painted, or to the canvas's proportions."""

from __future__ import annotations

import math
from dataclasses import dataclass

from refmatch.errors import HoleError, UsageError
from refmatch.photo.length import parse_length


@dataclass(frozen=True, slots=True)
class Frame:
    """A rectangle of whole pixels."""

    left_px: int
    top_px: int
    width_px: int
    height_px: int


def frame_for(
    width_px: int, height_px: int, crop: str | None = None, proportion: str | None = None
) -> Frame:
    """Return what is kept of an upright photo: the crop, then the largest centred frame in it.

    Args:
        width_px: width of the upright photo.
        height_px: its height.
        crop: "LEFT,TOP,WIDTH,HEIGHT", each in pixels or ``N%`` of width or height.
        proportion: "W:H", width to height of the canvas.

    Raises:
        UsageError: the text is not of that form.
        HoleError: the crop does not lie within the photo.
    """
    frame = Frame(0, 0, width_px, height_px)
    if crop is not None:
        frame = _cropped(width_px, height_px, crop)
    if proportion is not None:
        frame = _largest_within(frame, _ratio(proportion))
    return frame


def _cropped(width_px: int, height_px: int, crop: str) -> Frame:
    try:
        left, top, width, height = (parse_length(part) for part in crop.split(","))
    except ValueError:
        raise UsageError("crop_malformed", crop=crop) from None
    left_px, top_px = round(left.px(width_px)), round(top.px(height_px))
    right_px = round(left.px(width_px) + width.px(width_px))
    bottom_px = round(top.px(height_px) + height.px(height_px))
    inside = 0 <= left_px < right_px <= width_px and 0 <= top_px < bottom_px <= height_px
    if not inside:
        raise HoleError("crop_outside_photo", crop=crop, width_px=width_px, height_px=height_px)
    return Frame(left_px, top_px, right_px - left_px, bottom_px - top_px)


def _ratio(proportion: str) -> float:
    try:
        width, height = (float(part) for part in proportion.split(":"))
        ratio = width / height
    except (ValueError, ZeroDivisionError):
        ratio = math.nan
    if not (math.isfinite(ratio) and ratio > 0.0 and width > 0.0):
        raise UsageError("proportion_malformed", proportion=proportion)
    return ratio


def _largest_within(frame: Frame, ratio: float) -> Frame:
    width_px = max(1, min(frame.width_px, round(frame.height_px * ratio)))
    height_px = max(1, min(frame.height_px, round(frame.width_px / ratio)))
    return Frame(
        frame.left_px + (frame.width_px - width_px) // 2,
        frame.top_px + (frame.height_px - height_px) // 2,
        width_px,
        height_px,
    )
