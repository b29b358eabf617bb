"""The value finder on the page: printed, told by a photo what its steps are, printed anew.

Nothing of it is kept: the window that asks holds the steps of what it printed, written
VALUE:SENT, VALUE:SENT and so on, dark to light.
"""

from __future__ import annotations

from pathlib import Path

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from refmatch.dabs.value_finder import (
    DECIMALS,
    PLAIN,
    VALUES,
    MeasuredFinder,
    Steps,
    compose,
    measure,
)
from refmatch.errors import CardError
from refmatch.photo.load import load
from refmatch.web.answers import MOST_PHOTO_BYTES, as_json, photo_file
from refmatch.web.page import page
from refmatch.web.prints import PAPERS
from refmatch.web.routes.asked import number
from refmatch.web.routes.paintings import as_file
from refmatch.web.routes.start import plain_name

MOST_STEPS = 2 * len(VALUES)


async def printed(request: Request) -> Response:
    """Return the finder as PDF: ?paper=a4, &grey=49.5, and &steps= of one for a printer."""
    from refmatch.sheet.value_finder_pages import write  # ReportLab is slow to import

    paper, grey, steps = _paper(request), number(request, "grey"), _steps(request)

    def pdf() -> bytes:
        return write(compose(paper, steps or PLAIN, grey))

    data = await run_in_threadpool(pdf)
    headers = {"content-disposition": as_file("Value finder")}
    return Response(data, headers=headers, media_type="application/pdf")


async def measured(request: Request) -> Response:
    """Return what the photo in the body tells of a finder; &steps= are those of one for a printer.

    A photo of a plain finder is read, too, on whatever paper.
    """
    grey, steps = number(request, "grey"), _steps(request)
    papers = sorted(PAPERS, key=lambda paper: paper != _paper(request))
    known = [(paper, each) for each in (steps, PLAIN) if each for paper in papers]
    name = plain_name(request.query_params.get("name", ""))
    async with photo_file(request, name) as path:
        found = await run_in_threadpool(_measured, path, known, grey)
    content = {
        "steps": [{"value": step.value, "true": round(step.true, 1)} for step in found.steps],
        "darkest": round(found.darkest, 1),
        "lightest": round(found.lightest, 1),
        "by_chart": found.by_chart,
        "corrected": ",".join(
            f"{value:.{DECIMALS}f}:{sent:.{DECIMALS}f}" for value, sent in found.corrected()
        ),
        "most_photo_bytes": MOST_PHOTO_BYTES,
    }
    return as_json(page(content, found.flags))


def _measured(path: Path, known: list[tuple[str, Steps]], grey: float) -> MeasuredFinder:
    """Return what a photo shows of the first finder that it is one of.

    Raises:
        CardError: it is none of them, or cannot be used. PhotoError: it is no photo.
    """
    photo, refused = load(path), None
    for paper, steps in known:
        try:
            return measure(photo, compose(paper, steps, grey))
        except CardError as error:
            refused = refused or error
            if error.name != "another_value_finder":
                raise
    assert refused is not None
    raise refused


def _paper(request: Request) -> str:
    return request.query_params.get("paper", PAPERS[0])


def _steps(request: Request) -> Steps:
    """Read the steps of a finder for a printer, () where none are said.

    Raises:
        HTTPException: 400, they are none that a finder can have.
    """
    said: str = request.query_params.get("steps", "")
    if not said:
        return ()
    try:
        rows = [tuple(map(float, row.split(":"))) for row in said.split(",")]
        steps = [(value, sent) for value, sent in rows]
    except ValueError:
        steps = []
    values, sent = [value for value, _ in steps], [one for _, one in steps]
    if (
        not 2 <= len(steps) <= MOST_STEPS
        or sorted(set(sent)) != sent
        or not all(0.0 <= one <= 10.0 for one in (*values, *sent))
    ):
        raise HTTPException(400, "'steps' are those of no value finder.")
    return tuple(steps)


ROUTES = (
    Route("/api/value-finder.pdf", printed),
    Route("/api/value-finder/photos", measured, methods=["POST"]),
)
