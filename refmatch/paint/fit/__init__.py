"""From measured swatches of a painter's own tubes to their K and S, with what is left in doubt."""

from __future__ import annotations
