"""Dabs, and the cards they are painted on: read, weighed, corrected, learnt from."""

from __future__ import annotations
