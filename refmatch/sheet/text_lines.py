"""Words in lines of a terminal's width."""

from __future__ import annotations

import textwrap

WIDTH = 80


def wrapped(text: str, lead: str) -> list[str]:
    """Return lines that start with ``lead`` once and then hang below its end."""
    wrapper = textwrap.TextWrapper(
        WIDTH, initial_indent=lead, subsequent_indent=" " * len(lead), break_on_hyphens=False
    )
    return wrapper.wrap(text.strip())
