"""What every answer carries: headers that keep pages safe, caching rules, compression."""

import gzip

from flask import Flask, Response, request

CONTENT_SECURITY_POLICY = "; ".join(
    (
        "default-src 'self'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' blob:",  # a photo that waits on the phone is shown from there
        "object-src 'none'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
        "form-action 'self'",
        "worker-src 'self'",
        "manifest-src 'self'",
    )
)
_HEADERS = {
    "Content-Security-Policy": CONTENT_SECURITY_POLICY,
    "X-Content-Type-Options": "nosniff",
    # Not no-referrer: over HTTPS the form check wants to see which page sent the form.
    "Referrer-Policy": "same-origin",
    "Permissions-Policy": "camera=(self), geolocation=(), microphone=(), payment=()",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}
_TEXT = {
    "text/html",
    "text/css",
    "text/javascript",
    "text/plain",
    "application/json",
    "application/problem+json",
    "application/manifest+json",
    "image/svg+xml",
}
# Shorter answers gain nothing.
_SMALLEST = 600


def protect(app: Flask) -> None:
    """Let every answer of the app carry the headers, and be compressed where the browser takes it."""
    # The last registered runs first: answers are finished, then compressed.
    app.after_request(compress)
    app.after_request(add_headers)


def add_headers(response: Response) -> Response:
    """Add the safety headers; an answer that sets no caching rule of its own is private and asked for anew."""
    for name, value in _HEADERS.items():
        response.headers.setdefault(name, value)
    if "Cache-Control" not in response.headers:
        response.headers["Cache-Control"] = "private, no-cache"
        response.vary.add("Cookie")
    return response


def compress(response: Response) -> Response:
    """Compress a text answer with gzip if the browser takes it; hypercorn does not do it.

    The form token is no prey for length attacks on compression: it is signed with a time, so its text
    differs on each page, and other sites cannot have a page sent with this one's cookie but by leading
    the browser there.
    """
    if response.status_code in (204, 206, 304) or response.mimetype not in _TEXT:
        return response
    response.vary.add("Accept-Encoding")
    if response.is_streamed:
        return response
    if "Content-Encoding" in response.headers or not request.accept_encodings["gzip"]:
        return response
    body = response.get_data()
    if len(body) >= _SMALLEST:
        response.set_data(gzip.compress(body, compresslevel=6, mtime=0))
        response.headers["Content-Encoding"] = "gzip"
    return response
