"""Programs of their own that start quickly: a server imports what they need, once for all."""

from __future__ import annotations

import multiprocessing
from multiprocessing.context import ForkServerContext

NEEDED = ("tests.benchmarks.two_writers", "refmatch.web.page", "pytest")


def programs_apart() -> ForkServerContext:
    """Return what starts processes that share no memory with this one, nor with each other.

    Unlike a fork of the tests' own process, none begins with a lock that another thread holds.
    """
    programs = multiprocessing.get_context("forkserver")
    programs.set_forkserver_preload(list(NEEDED))
    return programs
