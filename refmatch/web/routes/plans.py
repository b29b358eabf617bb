"""The plan of a painting: its key, palette, puddles and strings, as it stands."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from refmatch.encode import Json
from refmatch.encode.plan import plan_form
from refmatch.web.answers import told
from refmatch.web.plans import Plans
from refmatch.web.routes.asked import desk_of, number
from refmatch.web.shown import part


async def plan(request: Request) -> Response:
    """Return the plan: with ``key=off`` unkeyed, with ``tubes`` of so many tubes."""
    desk, plans = await desk_of(request), _plans(request)
    tubes = round(number(request, "tubes")) if "tubes" in request.query_params else None
    keyed = request.query_params.get("key") != "off"

    def made() -> Json:
        found = plans.plan(desk, tubes, keyed=keyed)
        asked = found.painting.asked
        canvas = asked.canvas
        return {
            "revision": found.painting.revision,
            "keyed": asked.plan is None or asked.plan.keyed,
            "tubes": found.tubes,
            "most_tubes": found.most_tubes,
            "order": list(found.order),
            "canvas_cm": [canvas.width_cm, canvas.height_cm] if canvas else None,
            "plan": part(plan_form(found.plan, found.owned)),
        }

    return told(await run_in_threadpool(made))


def _plans(request: Request) -> Plans:
    plans: Plans = request.app.state.plans
    return plans


ROUTES = (Route("/api/paintings/{id}/plan", plan),)
