"""A bounded copy of what was refused, so that a phone that dies does not take it along."""

from dataclasses import dataclass

from walkabout.records import models
from walkabout.records.database import writing

MOST_KEPT = 1000
LONGEST_RAW = 16_384  # characters; an honest entry is far shorter


@dataclass(frozen=True, slots=True)
class Refusal:
    """Something a phone sent that could not be taken."""

    received_at: str
    author_id: str | None
    reason: str
    raw: str


def keep_refusals(refused: list[tuple[str, str]], author_id: str | None) -> None:
    """Keep refused texts, the newest 1,000.

    Args:
        refused: (reason, raw text) of each.
        author_id: who sent them.
    """
    if not refused:
        return
    table = models.Refusal
    with writing() as ledger:
        for reason, raw in refused:
            # The same text, offered again on each try of the phone, is kept once.
            raw = raw[:LONGEST_RAW]
            if not table.select().where((table.raw == raw) & (table.reason == reason)).exists():
                table.create(received_at=ledger.now, author_id=author_id, reason=reason, raw=raw)
        newest = (
            table.select(table.number).order_by(table.number.desc()).limit(1).offset(MOST_KEPT - 1).scalar()
        )
        if newest is not None:
            table.delete().where(table.number < newest).execute()


def refusals() -> list[Refusal]:
    """What is kept, newest first."""
    table = models.Refusal
    query = table.select(table.received_at, table.author_id, table.reason, table.raw).order_by(
        table.number.desc()
    )
    return [Refusal(*row) for row in query.tuples()]
