"""Objects as JSON-ready dicts, in one place, for the command line and the page.

Keys are snake_case with units; unknown is None, never NaN.
"""

from __future__ import annotations

from refmatch.wire.card import (
    wire_card,
    wire_charts,
    wire_dab_card,
    wire_window,
)
from refmatch.wire.check import (
    wire_checked,
    wire_checks,
    wire_correction,
)
from refmatch.wire.envelope import (
    dump,
    envelope,
    number,
    wire_flags,
    wire_lab,
)
from refmatch.wire.learning import (
    wire_change,
    wire_look,
    wire_not_taken,
    wire_update,
    wire_updates,
)
from refmatch.wire.mixing import (
    wire_answer,
    wire_doubt,
    wire_recipe,
    wire_spectrum,
    wire_step,
    wire_surface,
)
from refmatch.wire.nudge import (
    wire_lesson,
    wire_nudge,
)
from refmatch.wire.record import (
    wire_added,
    wire_advised,
    wire_again,
    wire_done,
    wire_parts,
    wire_pile,
    wire_round,
)
from refmatch.wire.seeing import (
    wire_balance,
    wire_family,
    wire_photo,
    wire_sample,
    wire_values,
)
from refmatch.wire.sheet import (
    wire_mass,
    wire_sheet,
    wire_target,
)
from refmatch.wire.tubes import (
    wire_box,
    wire_dab,
    wire_mixture,
    wire_pigment,
    wire_tube,
)

__all__ = [
    "dump",
    "envelope",
    "number",
    "wire_added",
    "wire_advised",
    "wire_again",
    "wire_answer",
    "wire_balance",
    "wire_box",
    "wire_card",
    "wire_change",
    "wire_charts",
    "wire_checked",
    "wire_checks",
    "wire_correction",
    "wire_dab",
    "wire_dab_card",
    "wire_done",
    "wire_doubt",
    "wire_family",
    "wire_flags",
    "wire_lab",
    "wire_lesson",
    "wire_look",
    "wire_mass",
    "wire_mixture",
    "wire_not_taken",
    "wire_nudge",
    "wire_parts",
    "wire_photo",
    "wire_pigment",
    "wire_pile",
    "wire_recipe",
    "wire_round",
    "wire_sample",
    "wire_sheet",
    "wire_spectrum",
    "wire_step",
    "wire_surface",
    "wire_target",
    "wire_tube",
    "wire_update",
    "wire_updates",
    "wire_values",
    "wire_window",
]
