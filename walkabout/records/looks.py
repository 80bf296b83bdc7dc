"""What tells of all plants at once which one needs a look: when each was seen last, its problems, what is due."""

from dataclasses import dataclass, field
from datetime import date
from typing import Any, NamedTuple

from walkabout.records.database import database
from walkabout.records.merges import survivors
from walkabout.records.tasks import DONE


class Problem(NamedTuple):
    """The entry seen last about one problem of a plant; `seen` is the answer of its form, None when not given.

    Ordered by the day, then by when it was made.
    """

    seen_on: str
    corrected_at: int
    entry_id: str
    subject: str
    seen: str | None


@dataclass(slots=True)
class Look:
    """What is known of a growing plant.

    Attributes:
        since: the day on which it was last noted about, else that on which it was recorded; ISO.
        due: whether a task of its is open and can be done.
        problems: for each problem the entry seen last, if on or after the day asked for.
    """

    since: str
    due: bool = False
    problems: list[Problem] = field(default_factory=list)


# In one statement, so that it tells of one moment. Each part goes along the plants and for each into its own rows,
# which lie together: nothing is sorted and no entry of another kind is read.
_ALL = """WITH RECURSIVE told_on (task_id, plant_id) AS (  -- a task is ticked off on any record of its plant
        SELECT id, plant_id FROM task WHERE opens <= ?2
        UNION SELECT task_id, merged_into FROM told_on JOIN plant ON plant.id = told_on.plant_id
            WHERE merged_into IS NOT NULL
        UNION SELECT task_id, plant.id FROM told_on JOIN plant ON plant.merged_into = told_on.plant_id
    )
    SELECT 'since', id, coalesce ((SELECT max (seen_on) FROM standing WHERE plant_id = plant.id),
        substr (made_at, 1, 10)), 0, '', '', NULL FROM plant WHERE state = 'growing'
    UNION ALL SELECT 'due', plant_id, opens, 0, '', '', NULL FROM task
        WHERE opens <= ?2 AND id NOT IN (SELECT task_id FROM told_on
            CROSS JOIN standing ON standing.plant_id = told_on.plant_id AND kind = ?3 AND subject = task_id)
    UNION ALL SELECT 'problem', latest.plant_id, latest.seen_on, latest.corrected_at, latest.entry_id, latest.subject,
        json_extract (entry.details, '$.seen')
        FROM (SELECT plant_id, subject, entry_id, seen_on, corrected_at, row_number () OVER (
                PARTITION BY plant_id, subject ORDER BY seen_on DESC, corrected_at DESC, entry_id DESC) AS place
            FROM plant CROSS JOIN standing ON standing.plant_id = plant.id
            WHERE kind = 'pest' AND seen_on >= ?1) AS latest
        JOIN entry ON entry.id = latest.entry_id
        WHERE latest.place = 1"""


def looks(since: date, today: date) -> dict[str, Look]:
    """What is known of every growing plant of its own, in one statement; what was merged into it is told with it.

    Args:
        since: tell problems that were seen on or after this day.
        today: tasks are told that open on or before this day.
    """
    last = survivors()
    connection: Any = database.connection()
    rows = connection.execute(_ALL, (since.isoformat(), today.isoformat(), DONE)).fetchall()
    found: dict[str, Look] = {}
    for what, plant_id, day, *_rest in rows:
        if what == "since" and plant_id not in last:
            found[plant_id] = Look(day)
    for what, plant_id, day, corrected_at, entry_id, subject, seen in rows:
        look = found.get(last.get(plant_id, plant_id))
        if look is None:
            continue
        if what == "since":
            look.since = max(look.since, day)
        elif what == "due":
            look.due = True
        else:
            look.problems.append(Problem(day, corrected_at, entry_id, subject, seen))
    return found
