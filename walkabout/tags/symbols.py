"""The address on a tag and the symbol (QR code, ISO/IEC 18004) that holds it.

A tag holds its address in capitals, because the alphanumeric mode packs them into 5.5 bits each where
lower case takes 8. Scheme and host do not mind (RFC 3986, 3.1 and 3.2.2); /T/ in capitals is answered
by the server.
"""

import string
from dataclasses import dataclass
from typing import Final
from urllib.parse import urlsplit

import qrcode
from qrcode.constants import ERROR_CORRECT_H, ERROR_CORRECT_Q

from walkabout.errors import BadInput
from walkabout.tags.codes import LETTERS

ALPHANUMERIC: Final = frozenset(string.digits + string.ascii_uppercase + " $%*+-./:")
"""The 45 characters of the alphanumeric mode (ISO/IEC 18004, table of the mode's values)."""

LARGEST_VERSION: Final = 3
QUIET_ZONE: Final = 4
"""Modules that stay white on every side (ISO/IEC 18004)."""

MOST_CHARACTERS: Final = {"H": 35, "Q": 47}
"""Alphanumeric capacity of version 3, the higher level first (ISO/IEC 18004, table of capacities)."""

_LEVELS: Final = {"H": ERROR_CORRECT_H, "Q": ERROR_CORRECT_Q}
_PATH: Final = "/T/"
_HOST_SIGNS: Final = frozenset(string.digits + string.ascii_uppercase + ".-")
_USUAL_PORTS: Final = {"http": 80, "https": 443}


@dataclass(frozen=True, slots=True)
class Symbol:
    """One symbol without its quiet zone; rows run from the top, True is a dark module."""

    address: str
    version: int
    level: str
    rows: tuple[tuple[bool, ...], ...]

    @property
    def modules(self) -> int:
        """Modules along one side: 17 + 4 * version."""
        return len(self.rows)


def address_for(origin: str, code: str) -> str:
    """The address as the symbol holds it: HTTPS://HOST[:PORT]/T/CODE.

    Args:
        origin: scheme, host and perhaps port, as recorded for the yard.
        code: canonical code of seven letters.

    Raises:
        BadInput: the origin is none, holds a sign that a tag cannot, or is too long for it.
    """
    address = f"{_origin_in_capitals(origin)}{_PATH}{code}"
    # Judged for a whole code, so that the answer is about the origin alone.
    over = len(address) - len(code) + LETTERS - max(MOST_CHARACTERS.values())
    if over > 0:
        raise BadInput(
            f"{origin} is {over} characters too long for a tag that stays readable outdoors. "
            "Choose a shorter host name for this yard before printing tags.",
            field="origin",
        )
    return address


def plain_address(address: str) -> str:
    """The address as people read and type it: scheme and host in lower case, the code as it is."""
    origin, path, code = address.rpartition(_PATH)
    return f"{origin.lower()}{path}{code}"


def symbol(address: str) -> Symbol:
    """The symbol of an address: version 3 at most, at the highest level that fits it.

    A smaller version means larger modules, which is what a camera needs first; at one version the
    higher level costs nothing.

    Raises:
        BadInput: a character outside the alphanumeric mode, or more of them than version 3 holds.
    """
    if outside := sorted(set(address) - ALPHANUMERIC):
        raise BadInput(f"A tag cannot hold {' '.join(outside)} in its address {address}.", field="origin")
    level = next((level for level, most in MOST_CHARACTERS.items() if len(address) <= most), None)
    if level is None:
        most = max(MOST_CHARACTERS.values())
        raise BadInput(
            f"{address} has {len(address)} characters, a tag holds {most}. Choose a shorter host name."
        )
    code = qrcode.QRCode(error_correction=_LEVELS[level], border=0)
    code.add_data(address, optimize=0)  # one mode for the whole text
    code.make(fit=True)
    rows = tuple(tuple(bool(module) for module in row) for row in code.modules)
    return Symbol(address, code.version, level, rows)


def _origin_in_capitals(origin: str) -> str:
    """Scheme, host and a port that is not the usual one, in capitals."""
    try:
        parts = urlsplit(origin.strip())
        host, port = parts.hostname, parts.port
        host = None if parts.username is not None else host
    except ValueError:
        host, port = None, None
    if not host or parts.scheme not in _USUAL_PORTS or parts.path.strip("/") or parts.query or parts.fragment:
        raise BadInput(
            f"{origin} is not an address that tags can hold. "
            "Give scheme and host, and the port if there is one: https://orchard.example.org",
            field="origin",
        )
    try:
        # A host in another alphabet travels in its ASCII form (RFC 5891).
        ascii_host = host.encode("idna").decode("ascii").upper()
    except UnicodeError:
        ascii_host = host.upper()
    if outside := sorted(set(ascii_host) - _HOST_SIGNS):
        raise BadInput(
            f"A tag cannot hold {' '.join(outside)} in the host of {origin}. "
            "Choose a host name of letters, digits, dots and hyphens.",
            field="origin",
        )
    shown_port = "" if port in (None, _USUAL_PORTS[parts.scheme]) else f":{port}"
    return f"{parts.scheme.upper()}://{ascii_host}{shown_port}"
