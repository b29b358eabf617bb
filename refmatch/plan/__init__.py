"""A painting's puddles as one: which are mixed from tubes, and which are drawn from those."""

from __future__ import annotations
