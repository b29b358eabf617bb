"""What every answer tells the browser to refuse."""

from __future__ import annotations

PAGE_POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' blob: data:",
        "connect-src 'self'",
        "font-src 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
        "base-uri 'none'",
        "require-trusted-types-for 'script'",
        "trusted-types 'none'",
    )
)
"""Content-Security-Policy (W3C, level 3): what is not our own does not run, nor show.

The last two make text that is set as markup an error, where the browser knows them.
"""

ALWAYS = {
    "content-security-policy": PAGE_POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-store",
}
"""Headers of every answer that does not set its own."""

UNCHANGING = "private, max-age=31536000, immutable"
"""Cache-Control of what is named by its own content: a picture by its digest."""
