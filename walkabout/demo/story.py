"""What was seen and done in the demo's yard: one plant after another, one season after another."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from random import Random
from typing import Any

from walkabout.demo.days import Days
from walkabout.demo.tables import CropYear, DemoPlant, Look, crop_years, demo_plants, yard_table
from walkabout.horticulture.units import pounds
from walkabout.reference.problems import problems
from walkabout.reference.stages import flowering_stages

CITRUS = ("mandarin", "sweet_orange", "lemon", "lime", "kumquat")
_FRUIT_FROZEN_FOR = timedelta(days=70)  # what hung in the freeze is not picked any more
_KILLED = 45  # percent of the canopy: from here on neither bloom nor crop in that year
_POT = 0.45  # crop of a plant in a pot against one in the ground
_LOOKED_AGAIN = 0.88
_OLD_TREE = 6  # years; older trees carry mined leaves without much show
_PARTS = {
    "young leaves": "young_leaves", "leaves": "leaves", "new leaves": "leaves", "leaf undersides": "leaves",
    "new shoots": "shoots", "shoots": "shoots", "shoot tips": "shoots", "blossoms": "flowers", "canes": "limbs",
    "fruit": "fruit", "young fruit": "fruit", "ripening fruit": "fruit", "fruit skin": "fruit",
    "trunk base": "bark", "pruning wounds": "limbs", "leaf tips": "leaves", "whole tree": "whole", "roots": "roots",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Seen:
    """One thing that was seen or done.

    Attributes:
        plant: the plant's name.
        details: as the form of the kind takes them.
        by: "owner", "keeper", or "" for whoever walked that day.
    """

    plant: str
    kind: str
    on: date
    details: Mapping[str, Any]
    by: str = ""


def story(days: Days) -> list[Seen]:
    """Everything, in the order of time."""
    told = [seen for plant in demo_plants() for seen in _of_plant(plant, days)]
    told += _freeze(days)
    told += _storm(days)
    told += _notes(days)
    began = {plant.name: days.planted(plant) for plant in demo_plants()}
    ended = {plant.name: days.ended(plant) or days.today for plant in demo_plants()}
    kept = [
        seen
        for seen in told
        if days.first <= seen.on <= days.last and began[seen.plant] <= seen.on <= ended[seen.plant]
    ]
    return sorted(kept, key=lambda seen: (seen.on, seen.plant, seen.kind, str(seen.details)))


def share_words(percent: float) -> str:
    """The answer of the forms that a share of so many percent falls into."""
    for low, high in ((0, 10), (10, 25), (25, 50), (50, 75)):
        if percent <= high:
            return f"{low}-{high}"
    return "75-100"


def _of_plant(plant: DemoPlant, days: Days) -> Iterator[Seen]:
    crop_year = crop_years()[plant.crop]
    for year in days.years():
        yield from _bloom(plant, crop_year, days, year)
        yield from _harvest(plant, crop_year, days, year)
        for look in crop_year.looks:
            yield from _looks(plant, look, days, year)
        for words, usual, chance in crop_year.works:
            luck = days.chance(plant.name, year, words)
            if luck.random() < chance:
                day = usual.of(year) + timedelta(days=luck.randint(-5, 9))
                yield Seen(plant.name, "done", days.walked(day), {"words": words})


def _killed_share(plant: DemoPlant, days: Days, year: int) -> float:
    """Percent of the canopy that the freeze cost a plant in that year."""
    if year != days.freeze.year:
        return 0
    looks = [look for look in yard_table()["freeze"]["look"] if look["plant"] == plant.name]
    return max((look["share"] for look in looks if look["after"] >= 30 or look["part"] == "fruit"), default=0)


def _bloom(plant: DemoPlant, crop_year: CropYear, days: Days, year: int) -> Iterator[Seen]:
    stages = {stage.key: stage for stage in flowering_stages(plant.crop)}
    if _killed_share(plant, days, year) >= _KILLED and plant.crop != "loquat":
        day = days.walked(days.freeze + timedelta(days=100))
        yield Seen(plant.name, "bloom", day, {"stage": "none"})
        return
    if _age(plant, days, crop_year.stages[0][1].of(year)) < crop_year.harvest.bears - 1:
        return
    luck = days.chance(plant.name, year, "bloom")
    own_days = timedelta(days=luck.randint(-3, 3)) + days.early_or_late(year)
    seen_before = None
    for key, usual in crop_year.stages:
        if key not in stages:
            continue
        wanted = 0.95 if stages[key].bbch in (60, 65) else 0.6
        day = days.walked(usual.of(year) + own_days)
        if luck.random() < wanted and day != seen_before:
            seen_before = day
            details: dict[str, Any] = {"stage": stages[key].code}
            if stages[key].bbch == 60:
                details["share"] = share_words(luck.randint(4, 18))
            elif stages[key].bbch == 65:
                details["share"] = share_words(luck.randint(52, 95))
            yield Seen(plant.name, "bloom", day, details)


def _harvest(plant: DemoPlant, crop_year: CropYear, days: Days, year: int) -> Iterator[Seen]:
    harvest = crop_year.harvest
    begins, ends = harvest.begins.of(year), harvest.ends.of(year)
    if ends < begins:
        ends = harvest.ends.of(year + 1)
    age = _age(plant, days, begins)
    killed = _killed_share(plant, days, year)
    if age < harvest.bears or killed >= _KILLED:
        return
    luck = days.chance(plant.name, year, "harvest")
    grown = min(1.0, 0.15 + 0.85 * (age - harvest.bears) / (harvest.full - harvest.bears))
    crop_kg = harvest.full_kg * grown * luck.uniform(0.85, 1.15) * (1 - killed / 100)
    # Counted back from today, so that the notes tell the off years of whatever year the demo is built in.
    if (days.today.year - year + len(plant.name)) % 2:
        crop_kg *= 1 - harvest.off
    if plant.litres:
        crop_kg *= _POT
    parts = [luck.uniform(0.6, 1.4) for _ in range(harvest.picks)]
    for pick, part in enumerate(parts):
        between = (ends - begins) * (pick / max(1, harvest.picks - 1))
        day = days.walked(begins + between + days.early_or_late(year) / 2)
        weight_lb = round(pounds(crop_kg * part / sum(parts)) * 4) / 4
        if weight_lb < 0.25 or _fruit_froze(plant, day, days):
            continue
        details: dict[str, Any] = {"weight_lb": weight_lb}
        if harvest.each_kg and luck.random() < 0.6:
            count = max(1, round(crop_kg * part / sum(parts) / harvest.each_kg))
            details = {"count": count} if luck.random() < 0.5 else {**details, "count": count}
        yield Seen(plant.name, "harvest", day, details)


def _fruit_froze(plant: DemoPlant, day: date, days: Days) -> bool:
    in_the_ground = plant.litres is None
    return in_the_ground and plant.crop in CITRUS and days.freeze <= day <= days.freeze + _FRUIT_FROZEN_FOR


def _looks(plant: DemoPlant, look: Look, days: Days, year: int) -> Iterator[Seen]:
    # A flush, a moth flight, a wet week come to the whole yard at once: the day is chance of the year,
    # whether this plant has it is chance of the plant.
    flight = days.chance(look.problem, look.begins, year)
    luck = days.chance(plant.name, look.problem, look.begins, year)
    if luck.random() > look.chance or _age(plant, days, look.begins.of(year)) < 0.3:
        return
    window = (look.ends.of(year) - look.begins.of(year)).days
    day = days.walked(look.begins.of(year) + timedelta(days=flight.randint(0, window)))
    share = luck.uniform(look.low, look.high)
    if look.problem == "citrus_leafminer" and _age(plant, days, day) > _OLD_TREE:
        share *= 0.4
    details = {"problem": look.problem, "share": share_words(share)}
    if part := _part(look.problem):
        details["part"] = part
    yield Seen(plant.name, "pest", day, details)
    yield from _looked_again(plant, details, share, day, days, luck)


def _looked_again(
    plant: DemoPlant, first: Mapping[str, Any], share: float, day: date, days: Days, luck: Random
) -> Iterator[Seen]:
    """The later looks at a problem, each after the days that the books ask for, until it is gone or forgotten."""
    problem = first["problem"]
    while share and luck.random() < _LOOKED_AGAIN:
        day = days.walked(day + timedelta(days=problems()[problem].recheck_days))
        share = 0 if share < 20 or luck.random() < 0.4 else share / 2
        again = {**first, "share": share_words(share)} if share else {"problem": problem, "seen": "none"}
        yield Seen(plant.name, "pest", day, again)


def _part(problem: str) -> str | None:
    """Where it shows, in the words of the form; brown rot is looked at on fruit here."""
    parts = [_PARTS.get(part) for part in problems()[problem].parts]
    return "fruit" if problem == "brown_rot" else parts[0]


def _freeze(days: Days) -> Iterator[Seen]:
    table = yard_table()["freeze"]
    for look in table["look"]:
        details: dict[str, Any] = {
            "cause": "frost",
            "happened_on": days.freeze.isoformat(),
            "part": look["part"],
            "share": share_words(look["share"]),
        }
        if "living" in look:
            details["lowest_living"] = look["living"]
        if "back_to_cm" in look:
            details["dead_back_to_cm"] = look["back_to_cm"]
        yield Seen(look["plant"], "damage", days.freeze + timedelta(days=look["after"]), details)
    yield Seen("Old gate fig", "note", days.freeze + timedelta(days=1), {"words": table["night"]}, "owner")
    for note in table["note"]:
        day = days.freeze + timedelta(days=note["after"])
        yield Seen(note["plant"], "note", day, {"words": note["text"]}, note.get("by", "owner"))


def _storm(days: Days) -> Iterator[Seen]:
    storm = yard_table()["storm"]
    happened = days.ago(storm["ago"], storm["on"])
    for look in storm["look"]:
        details = {
            "cause": "wind",
            "happened_on": happened.isoformat(),
            "part": look["part"],
            "share": share_words(look["share"]),
        }
        yield Seen(look["plant"], "damage", happened + timedelta(days=1), details)


def _notes(days: Days) -> Iterator[Seen]:
    for note in yard_table()["note"]:
        day = days.ago(note["ago"], note["on"])
        yield Seen(note["plant"], "note", day, {"words": note["text"]}, note.get("by", "owner"))


def _age(plant: DemoPlant, days: Days, on: date) -> float:
    """Years since planting."""
    return (on - days.planted(plant)).days / 365.25
