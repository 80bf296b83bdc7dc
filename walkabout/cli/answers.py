"""What a person may answer when a yard is set up, besides the facts of the yard: each checked with what to do instead."""

import os
import re
from urllib.parse import urlsplit
from zoneinfo import ZoneInfo

from walkabout.errors import BadInput
from walkabout.records.people import SHORTEST_PASSWORD
from walkabout.tags.codes import LETTERS
from walkabout.tags.symbols import address_for


def own_timezone() -> str | None:
    """The time zone of this machine, if its name is known."""
    named = os.environ.get("TZ", "") or os.path.realpath("/etc/localtime").rpartition("zoneinfo/")[2]
    try:
        ZoneInfo(named)
    except (ValueError, OSError):
        return None
    return named or None


def origin(text: str) -> str:
    """Scheme, host and port, in lower case and without a slash at the end.

    Raises:
        BadInput: it is no address of that form, or a tag cannot hold it.
    """
    plain = text.strip().rstrip("/").lower()
    form = (
        "Write scheme, host and, if need be, port, such as http://192.168.1.20:8480 or https://yard.example."
    )
    try:
        parts = urlsplit(plain)
        port = parts.port
    except ValueError as error:
        raise BadInput(f'"{text}" is not an address. {form}') from error
    host = parts.hostname or ""
    whole = parts.scheme in ("http", "https") and re.fullmatch(r"[a-z0-9.:-]+", host) is not None
    if not whole or port == 0 or plain != f"{parts.scheme}://{parts.netloc}" or "@" in parts.netloc:
        raise BadInput(f'"{text}" is not an address. {form}')
    usual = {"http": 80, "https": 443}[parts.scheme]
    # Browsers leave the usual port out of the origin that they send.
    found = plain.removesuffix(f":{usual}")
    address_for(found, "0" * LETTERS)
    return found


def password(text: str) -> str:
    """A password that is long enough.

    Raises:
        BadInput: it is too short.
    """
    if len(text) < SHORTEST_PASSWORD:
        raise BadInput(f"The password is too short. Take at least {SHORTEST_PASSWORD} characters.")
    return text
