"""How often somebody may try to get in."""

from flask import Response
from flask_limiter import Limiter
from flask_limiter.util import get_remote_address

REFUSED = 403
"""The status of a try that failed; only these count."""


def _failed(response: Response) -> bool:
    return response.status_code == REFUSED


# Counts are in memory: one process serves the yard.
limiter = Limiter(get_remote_address, storage_uri="memory://")
failed_tries = limiter.shared_limit(
    "10 per minute;50 per hour", scope="sign-in", methods=["POST"], deduct_when=_failed
)
