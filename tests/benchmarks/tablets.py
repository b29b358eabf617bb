"""Forty tablets of a class at one shared studio: how long a click takes.

Run by hand: ``python -m tests.benchmarks.tablets [TABLETS] [SECONDS]``. Every tablet comes in by a
link of its own, and opens a painting of its own and an event stream. A click punches a hole, and is
timed until its answer is there. First one tablet clicks while the others listen; then all do,
each once in ten seconds at a moment of its own; then all at the very same moment. The studio is a
process of its own.
"""

from __future__ import annotations

import asyncio
import contextlib
import subprocess
import sys
import tempfile
import time
from collections.abc import AsyncIterator, Iterator
from pathlib import Path

import httpx
import numpy as np

TABLETS, SECONDS, EVERY_S = 40, 40.0, 10.0
ALONE = 20
SEED = 40
SAMPLE = "garden-table"
LONGEST_S = 300.0

STUDIO = """
import sys
from pathlib import Path
from refmatch.web import serve
from refmatch.web.shelf import Shelf
serve.local_address = lambda: "127.0.0.2"
studio = serve.Studio(Shelf(Path(sys.argv[1])), serve.Serving(shared=True, opens_browser=False))
for _ in range(int(sys.argv[2])):
    print(studio.link(studio.hosts[-1]), flush=True)
studio.run()
"""


class Tablet:
    """A browser that has come in, with a painting of its own."""

    def __init__(self, link: str, seed: int) -> None:
        self.link, (self.address, _, _) = link, link.partition("/enter")
        self.chance = np.random.default_rng(seed)
        self.client = httpx.AsyncClient(
            base_url=self.address, headers={"origin": self.address}, timeout=LONGEST_S
        )
        self.painting, self.revision, self.holes = "", 0, 0

    async def come_in(self) -> None:
        (await self.client.get(self.link)).raise_for_status()
        made = await self.client.post(f"/api/paintings?sample={SAMPLE}")
        self.painting = f"/api/paintings/{made.json()['id']}"
        shown = (await self.client.get(self.painting)).json()
        self.revision = shown["revision"]

    async def click(self) -> float:
        """Punch a hole and return how many seconds it took."""
        x, y = self.chance.uniform((100.0, 100.0), (1700.0, 1100.0))
        change = {"revision": self.revision, "do": "punch", "x_px": float(x), "y_px": float(y)}
        began = time.perf_counter()
        answer = await self.client.post(f"{self.painting}/changes", json=change)
        took = time.perf_counter() - began
        answer.raise_for_status()
        self.revision = answer.json()["revision"]
        return took

    async def listen(self) -> None:
        async with self.client.stream("GET", f"{self.painting}/events") as stream:
            async for _ in stream.aiter_lines():
                pass

    async def work(self, until: float) -> list[float]:
        took = []
        await asyncio.sleep(self.chance.uniform(0.0, EVERY_S))
        while time.perf_counter() < until:
            took.append(await self.click())
            await asyncio.sleep(max(0.0, self.chance.normal(EVERY_S, EVERY_S / 4.0) - took[-1]))
        return took


@contextlib.contextmanager
def links(count: int) -> Iterator[list[str]]:
    with tempfile.TemporaryDirectory() as folder:
        words = [sys.executable, "-c", STUDIO, str(Path(folder)), str(count)]
        process = subprocess.Popen(words, stdout=subprocess.PIPE, text=True)
        assert process.stdout
        try:
            lines = [process.stdout.readline().strip() for _ in range(count)]
            while not process.stdout.readline().startswith("The studio is open"):
                pass
            yield lines
        finally:
            process.terminate()
            process.wait(30.0)


@contextlib.asynccontextmanager
async def listening(tablets: list[Tablet]) -> AsyncIterator[None]:
    ears = [asyncio.create_task(tablet.listen()) for tablet in tablets]
    try:
        yield
    finally:
        for ear in ears:
            ear.cancel()
        await asyncio.gather(*ears, return_exceptions=True)
        for tablet in tablets:
            await tablet.client.aclose()


def say(what: str, took: list[float]) -> None:
    middle, most = np.percentile(took, (50, 95))
    print(
        f"{what:34s} {len(took):4d} clicks  half within {middle:5.2f} s, 95 % {most:5.2f} s, "
        f"longest {max(took):5.2f} s",
        flush=True,
    )


async def measure(count: int, seconds: float, known: list[str]) -> None:
    tablets = [Tablet(link, SEED + number) for number, link in enumerate(known)]
    for tablet in tablets:
        await tablet.come_in()
    async with listening(tablets):
        say("one clicks, the others listen", [await tablets[0].click() for _ in range(ALONE)])
        until = time.perf_counter() + seconds
        took = await asyncio.gather(*(tablet.work(until) for tablet in tablets))
        say(f"all, once in {EVERY_S:.0f} s each", [one for own in took for one in own])
        say("all at one moment", await asyncio.gather(*(tablet.click() for tablet in tablets)))


if __name__ == "__main__":
    asked = sys.argv[1:]
    tablets_asked = int(asked[0]) if asked else TABLETS
    seconds_asked = float(asked[1]) if len(asked) > 1 else SECONDS
    with links(tablets_asked) as given:
        asyncio.run(measure(tablets_asked, seconds_asked, given))
