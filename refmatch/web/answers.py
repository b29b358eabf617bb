"""Answers in the forms the page expects: JSON, a sentence, a picture, a small notice."""

from __future__ import annotations

import base64
import hashlib
import html
import json
from typing import Any

from starlette.requests import Request
from starlette.responses import HTMLResponse, Response

from refmatch.web.headers import UNCHANGING

STYLE = """
:root { color-scheme: light dark; }
body { max-width: 34rem; margin: 20vh auto 0; padding: 0 1.5rem; font: 1.125rem/1.6 system-ui,
sans-serif; }
h1 { font-size: 1.5rem; font-weight: 600; }
a { color: inherit; }
"""

NOTICE = """<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
{onward}<title>{title}</title>
<style>{style}</style>
<main><h1>{title}</h1><p>{sentence}</p></main>
</html>
"""

NOTICE_POLICY = (
    "default-src 'none'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'; style-src "
    f"'sha256-{base64.b64encode(hashlib.sha256(STYLE.encode()).digest()).decode()}'"
)
"""A notice needs nothing but its own few rules of style, known by their digest."""

KINDS = {b"\xff\xd8\xff": "image/jpeg", b"\x89PNG": "image/png"}
"""A picture's media type, by the first bytes of it."""


def told(content: dict[str, Any], status: int = 200) -> Response:
    """Return JSON; a number that is not finite would be a mistake here."""
    data = json.dumps(content, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return Response(data.encode("utf-8"), status, media_type="application/json")


def failed(sentence: str, status: int, **more: Any) -> Response:
    """Return what went wrong, in one sentence for the painter."""
    return told({"error": sentence, **more}, status)


def refused(request: Request, status: int, sentence: str) -> Response:
    """Return a refusal as the asker can read it: JSON for the page, a page for a person."""
    if request.scope["path"].startswith("/api/"):
        return failed(sentence, status)
    return notice("The studio", sentence, status)


def notice(title: str, sentence: str, status: int = 200, onward: str = "") -> Response:
    """Return a small page that says one thing; with ``onward`` it goes on there by itself.

    It goes on by its own means, rather than by a redirect, so that the browser takes the
    step for one within this site and sends a SameSite=Strict cookie along.
    """
    words, goes_on = html.escape(sentence), ""
    if onward:
        address = html.escape(onward)
        words = f'<a href="{address}">{words}</a>'
        goes_on = f'<meta http-equiv="refresh" content="0; url={address}">\n'
    page = NOTICE.format(title=html.escape(title), sentence=words, style=STYLE, onward=goes_on)
    return HTMLResponse(page, status, {"content-security-policy": NOTICE_POLICY})


def picture(data: bytes, unchanging: bool = False) -> Response:
    """Return a JPEG or PNG; one named by its content is kept by the browser."""
    kind = next(kind for start, kind in KINDS.items() if data.startswith(start))
    headers = {"cache-control": UNCHANGING} if unchanging else {}
    return Response(data, headers=headers, media_type=kind)
