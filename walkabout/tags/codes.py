"""Tag codes: six random letters and a check letter, made, read and shown.

The alphabet is Crockford's base 32 (D. Crockford, "Base 32", 2019): digits and capitals without I, L,
O and U. The check letter makes the weighted sum of all seven letters zero in GF(32), the field of 32
elements with the polynomial x^5 + x^2 + 1. The weights are g^6, g^5, ..., g, 1 for the generator g = x:
all different and none zero, so one wrong letter, and any two unequal letters swapped, are always
noticed. Of all texts of seven letters one in 32 (3.1 %) passes by chance.

static/js/codes.js is the same in the page; tests/tags/codes.json binds both.
"""

import re
import secrets
from typing import Final

from walkabout.errors import BadInput

ALPHABET: Final = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
RANDOM_LETTERS: Final = 6
FIRST_GROUP: Final = 3
LETTERS: Final = RANDOM_LETTERS + 1

PROBLEMS: Final = {
    "empty": "Type the code that stands on the tag: three letters or digits, then four.",
    "address": "No tag code is in this address: in a tag's address it stands after /T/.",
    "letter-first": "“{letter}” is in no tag code. Look at the first three letters again.",
    "letter-second": "“{letter}” is in no tag code. Look at the last four letters again.",
    "group-first": "The first group should have 3 letters or digits, this one has {count}. Look at it again.",
    "group-second": "The second group should have 4 letters or digits, this one has {count}. Look at it again.",
    "length": "A tag code has 7 letters or digits, this one has {count}. Compare it with the tag.",
    "check": "{code} is no tag code: at least one letter differs from the tag. Compare both groups with it.",
}
"""What can be wrong with a typed code, with the places to fill; codes.js names the same problems."""

_VALUES: Final = {letter: value for value, letter in enumerate(ALPHABET)}
# ASCII only, so that Python and JavaScript agree; I, L and O are read as the digits they look like.
_FORGIVEN: Final = str.maketrans("abcdefghijklmnopqrstuvwxyzILO", "ABCDEFGH1JK1MN0PQRSTUVWXYZ110")
# Spaces and hyphens, written out because "white space" is not the same set in every language.
_SEPARATORS: Final = re.compile("[ \t\r\n\u00a0\u200b\u202f\ufeff\u2010-\u2015\u2212-]+")
_ADDRESS: Final = re.compile(r".*/t/+([^/?#]*).*", re.IGNORECASE | re.DOTALL)


class CodeError(BadInput):
    """A typed code that cannot be one.

    Attributes:
        problem: key of PROBLEMS.
        values: what fills the places of its text.
    """

    def __init__(self, problem: str, **values: str | int) -> None:
        super().__init__(PROBLEMS[problem].format(**values), field="code")
        self.problem = problem
        self.values = values


def make_code() -> str:
    """A new canonical code of seven letters. It is a name, not a secret: it hangs in the open."""
    drawn = "".join(secrets.choice(ALPHABET) for _ in range(RANDOM_LETTERS))
    return drawn + ALPHABET[_times_generator(_weighted_sum(drawn))]


def read_code(text: str) -> str:
    """The canonical seven letters of a typed, pasted or scanned code.

    Lower case, spaces and hyphens anywhere, I and L for 1, O for 0 and a whole tag address are
    forgiven.

    Raises:
        CodeError: the text cannot be a code; the message says which group to look at.
    """
    groups = _groups(text)
    code = "".join(groups)
    if not code:
        raise CodeError("empty")
    if "/" in code:
        raise CodeError("address")
    first = len(groups[0]) if len(groups) == 2 else FIRST_GROUP
    for place, letter in enumerate(code):
        if letter not in _VALUES:
            raise CodeError("letter-first" if place < first else "letter-second", letter=letter)
    if len(groups) == 2 and len(code) != LETTERS:
        if first != FIRST_GROUP:
            raise CodeError("group-first", count=first)
        raise CodeError("group-second", count=len(groups[1]))
    if len(code) != LETTERS:
        raise CodeError("length", count=len(code))
    if _weighted_sum(code) != 0:
        raise CodeError("check", code=shown(code))
    return code


def normalise(text: str) -> str:
    """The letters of a code as far as they can be made out, without judging them."""
    return "".join(_groups(text))


def shown(code: str) -> str:
    """A canonical code as people read it: three letters, a hyphen, four letters."""
    return f"{code[:FIRST_GROUP]}-{code[FIRST_GROUP:]}"


def _groups(text: str) -> list[str]:
    """The typed groups, address taken off, capitals, look-alikes replaced."""
    address = _ADDRESS.fullmatch(text)
    typed = address.group(1) if address else text
    return [group for group in _SEPARATORS.split(typed.translate(_FORGIVEN)) if group]


def _weighted_sum(letters: str) -> int:
    """The sum of g^(n-1-i) * letter i in GF(32), by Horner's rule."""
    total = 0
    for letter in letters:
        total = _times_generator(total) ^ _VALUES[letter]
    return total


def _times_generator(value: int) -> int:
    """x times a polynomial of degree below 5, modulo x^5 + x^2 + 1."""
    return (value << 1) ^ (0b100101 if value & 0b10000 else 0)
