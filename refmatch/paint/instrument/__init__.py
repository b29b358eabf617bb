"""From files that instruments write, and a plan of what was painted, to spectra on the one grid."""

from __future__ import annotations
