"""Entries as a phone sends them, for the tests of the exchange. Plants, people and notes are invented."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from tests.cast import DEVICE, NOW, TODAY, new_id
from walkabout.records.people import Person
from walkabout.records.plants import Plant


def sent(
    plant: Plant,
    author: Person,
    kind: str = "note",
    *,
    entry_id: str | None = None,
    seen_on: date = TODAY,
    made_at: datetime = NOW,
    clock_difference: float | None = 0.25,
    replaces: str | None = None,
    withdraws: str | None = None,
    **details: Any,
) -> dict[str, Any]:
    """One entry with all its keys; a note says something unless told what."""
    if kind == "note" and not details:
        details = {"words": "Scale on two shoots"}
    return {
        "id": entry_id or new_id(made_at),
        "plant": plant.id,
        "kind": kind,
        "seen_on": seen_on.isoformat(),
        "made_at": made_at.isoformat(timespec="milliseconds"),
        "clock_difference": clock_difference,
        "details": details,
        "replaces": replaces,
        "withdraws": withdraws,
        "author": author.id,
        "device": DEVICE,
        "form": 1,
    }
