"""What an import would do, line by line, before anything is written."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Generic, TypeVar

from walkabout.errors import BadInput
from walkabout.imports.columns import Columns

Kept = TypeVar("Kept")


@dataclass(frozen=True, slots=True)
class PlannedLine:
    """One line of the file and what will become of it.

    Attributes:
        number: the line in the file.
        words: what will happen, or why it cannot and what to do.
        fault: the line is wrong, and the import waits until it is put right or skipped.
    """

    number: int
    words: str
    fault: bool = False

    def __str__(self) -> str:
        return f"line {self.number}: {self.words}"


@dataclass(frozen=True, slots=True)
class Plan(Generic[Kept]):
    """A whole file, planned.

    Attributes:
        columns: how the columns were taken.
        lines: every line of the file in its order.
        ready: what will be written, in the same order.
    """

    columns: Columns
    lines: tuple[PlannedLine, ...]
    ready: tuple[Kept, ...]

    @property
    def faults(self) -> tuple[PlannedLine, ...]:
        """The lines that are wrong."""
        return tuple(line for line in self.lines if line.fault)

    def must_be_sound(self) -> None:
        """Raises BadInput, with what to do, if any line is wrong."""
        if self.faults:
            wrong = len(self.faults)
            raise BadInput(
                f"{wrong} of {len(self.lines)} lines {'is' if wrong == 1 else 'are'} wrong, first {self.faults[0]}. "
                "Nothing was written. Put them right in the file, or leave them out with --skip LINES."
            )


def lines_to_skip(text: str | None) -> frozenset[int]:
    """The line numbers of "4,7-9".

    Raises:
        BadInput: it is not a list of lines.
    """
    found: set[int] = set()
    for part in filter(None, (part.strip() for part in (text or "").split(","))):
        match = re.fullmatch(r"(\d{1,7})(?:-(\d{1,7}))?", part)
        if not match or int(match[2] or match[1]) < int(match[1]):
            raise BadInput(
                f'--skip "{part}" is not a line or a range of lines. Write for example --skip 4,7-9.'
            )
        found.update(range(int(match[1]), int(match[2] or match[1]) + 1))
    return frozenset(found)


def check_skipped(skip: frozenset[int], numbers: Iterable[int]) -> None:
    """Raises BadInput if a line to skip lies outside the file: a slip of the finger would skip nothing, unseen."""
    data = frozenset(numbers)
    outside = sorted(line for line in skip if not data or line < min(data) or line > max(data))
    if outside:
        raise BadInput(
            f"--skip names line {outside[0]}, which is not a data line of the file. Check the numbers."
        )
