"""Bloom, fruit set and harvest of the demo."""

from collections.abc import Iterator
from datetime import date, timedelta
from random import Random
from typing import Any

from walkabout.demo.days import Days
from walkabout.demo.seen import Seen, share_words
from walkabout.demo.tables import CropYear, DemoPlant, Harvest, MonthDay, crop_years
from walkabout.demo.weather import HIT_HARD, fruit_froze, killed_share, only_stock_left
from walkabout.horticulture.units import pounds
from walkabout.reference.stages import flowering_stages, fruiting_stages, fruiting_tracks, long_hanging

_LEAST_KG = 0.1  # a smaller picking is eaten under the tree
_POT = 0.45  # crop of a plant in a pot against one in the ground
_GRAFT_BEARS = 2  # years
_LOST = 0.15  # chance that part of a crop is lost to more than people
_TRIED = 0.25  # chance that one was tried too early
_OFF_YEAR = 0.25  # share of the crop lost in an off year, from which on one sees it in the fruit set
_SET_ENDS = 72  # BBCH; later codes of that phase are of the drop
_LOST_TO = {
    "fig": "birds", "blueberry_rabbiteye": "birds", "mulberry": "birds", "apple": "birds", "loquat": "birds",
    "peach": "rot", "plum_japanese": "rot", "pomegranate": "split", "persimmon_asian": "squirrels",
    "mandarin": "split", "muscadine": "rot",
}  # fmt: skip


def bearing(plant: DemoPlant, days: Days, year: int) -> Iterator[Seen]:
    """What a plant flowered, set and gave in a year."""
    crop_year = crop_years()[plant.crop]
    if only_stock_left(plant, days, date(year, 12, 31)):
        yield from _bloom_of_stock(plant, days, year)
        return
    yield from _bloom(plant, crop_year, days, year)
    yield from _fruit(plant, crop_year, days, year)
    yield from _harvest(plant, crop_year, days, year)


def _bloom(plant: DemoPlant, crop_year: CropYear, days: Days, year: int) -> Iterator[Seen]:
    stages = {stage.key: stage for stage in flowering_stages(plant.crop)}
    if killed_share(plant, days, year) >= HIT_HARD and plant.crop != "loquat":
        yield from _bloom_of_stock(plant, days, year)
        return
    if days.age(plant, crop_year.stages[0][1].of(year)) < crop_year.harvest.bears - 1:
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


def _bloom_of_stock(plant: DemoPlant, days: Days, year: int) -> Iterator[Seen]:
    """After the freeze one looks for flowers, and there are none."""
    if year == days.freeze.year:
        yield Seen(plant.name, "bloom", days.walked(days.freeze + timedelta(days=100)), {"stage": "none"})


def _fruit(plant: DemoPlant, crop_year: CropYear, days: Days, year: int) -> Iterator[Seen]:
    harvest = crop_year.harvest
    age = days.age(plant, crop_year.stages[0][1].of(year))
    if age < harvest.bears - 1 or killed_share(plant, days, year) >= HIT_HARD:
        return
    luck = days.chance(plant.name, year, "set")
    stages = {stage.key: stage for stage in fruiting_stages(plant.crop) if stage.phase == "set"}
    set_seen = False
    for key, usual in crop_year.stages:
        if key not in stages or luck.random() > 0.75:
            continue
        day = days.walked(usual.of(year) + days.early_or_late(year) + timedelta(days=luck.randint(0, 4)))
        if stages[key].bbch > _SET_ENDS:
            yield Seen(
                plant.name, "fruit_set", day, {"dropped": luck.choice(("none", "some", "some", "many"))}
            )
        elif not set_seen:
            set_seen = True
            yield Seen(
                plant.name, "fruit_set", day, {"amount": _amount(plant, harvest, age, days, year, luck)}
            )


def _amount(plant: DemoPlant, harvest: Harvest, age: float, days: Days, year: int, luck: Random) -> str:
    if age < harvest.bears or (_is_off_year(plant, days, year) and harvest.off >= _OFF_YEAR):
        return "light"
    return luck.choice(("good", "good", "heavy"))


def _is_off_year(plant: DemoPlant, days: Days, year: int) -> bool:
    # Counted back from today, so that the notes tell the off years of whatever year the demo is built in.
    return bool((days.today.year - year + len(plant.name)) % 2)


def bears(plant: DemoPlant, days: Days, year: int) -> bool:
    """Whether a plant has a crop from the bloom of a year."""
    harvest = crop_years()[plant.crop].harvest
    begins = harvest.begins.of(year)
    killed = killed_share(plant, days, year) >= HIT_HARD or only_stock_left(plant, days, begins)
    return days.age(plant, begins) >= harvest.bears and not killed


def _harvest(plant: DemoPlant, crop_year: CropYear, days: Days, year: int) -> Iterator[Seen]:
    harvest = crop_year.harvest
    limbs = [limb.name for limb in plant.limbs if days.today.year - limb.grafted_ago + _GRAFT_BEARS <= year]
    if not bears(plant, days, year) or (plant.limbs and not limbs):
        return
    begins, ends = harvest.begins.of(year), harvest.ends.of(year)
    if ends < begins:
        ends = harvest.ends.of(year + 1)
    luck = days.chance(plant.name, year, "harvest")
    whole = not plant.pot_gal and not killed_share(plant, days, year)
    if harvest.early_on and whole and luck.random() < 0.6:
        yield _early(plant, harvest.early_on, days, year, luck)
    if luck.random() < _TRIED:
        day = days.walked(begins - timedelta(days=luck.randint(9, 16)))
        yield Seen(plant.name, "harvest", day, {"ripe": "not_yet"})
    crop_kg = _crop_kg(plant, harvest, days.age(plant, begins), days, year, luck)
    for pick, part in enumerate(_parts(harvest.picks, luck)):
        between = (ends - begins) * (pick / max(1, harvest.picks - 1))
        day = days.walked(begins + between + days.early_or_late(year) / 2)
        if fruit_froze(plant, days, day):
            yield _froze(plant, days)
            return
        if crop_kg * part < _LEAST_KG:
            continue
        details = _picked(harvest, crop_kg * part, luck, plant.crop)
        details |= _how_it_was(plant, harvest, pick, days, year, luck)
        if day.year > year and plant.crop in long_hanging():
            details["bloom_year"] = str(year)
        yield Seen(plant.name, "harvest", day, details, limb=limbs[pick % len(limbs)] if limbs else "")
    if plant.crop in _LOST_TO and luck.random() < _LOST:
        lost = {"lost": [_LOST_TO[plant.crop]], "lost_share": "some"}
        yield Seen(plant.name, "harvest", days.walked(ends - (ends - begins) / 3), lost)


def _parts(picks: int, luck: Random) -> list[float]:
    """Shares of the crop that the pickings bring; together 1."""
    parts = [luck.uniform(0.6, 1.4) for _ in range(picks)]
    return [part / sum(parts) for part in parts]


def _crop_kg(plant: DemoPlant, harvest: Harvest, age: float, days: Days, year: int, luck: Random) -> float:
    grown = min(1.0, 0.15 + 0.85 * (age - harvest.bears) / (harvest.full - harvest.bears))
    crop_kg = harvest.full_kg * grown * luck.uniform(0.85, 1.15)
    crop_kg *= 1 - killed_share(plant, days, year) / 100
    if _is_off_year(plant, days, year):
        crop_kg *= 1 - harvest.off
    return crop_kg * _POT if plant.pot_gal else crop_kg


def _early(plant: DemoPlant, usual: MonthDay, days: Days, year: int, luck: Random) -> Seen:
    """The small early crop on last year's wood."""
    day = days.walked(usual.of(year) + timedelta(days=luck.randint(0, 8)))
    track = fruiting_tracks(plant.crop)[0][0]
    return Seen(
        plant.name, "harvest", day, {"rough": luck.choice(("few", "bowl")), "track": track, "taste": "3"}
    )


def _picked(harvest: Harvest, picked_kg: float, luck: Random, crop: str) -> dict[str, Any]:
    weight_lb = max(0.25, round(pounds(picked_kg) * 4) / 4)
    details: dict[str, Any] = {"weight_lb": weight_lb}
    if harvest.each_kg and luck.random() < 0.6:
        count = max(1, round(picked_kg / harvest.each_kg))
        details = {"count": count} if luck.random() < 0.5 else {**details, "count": count}
    elif weight_lb < 3 and luck.random() < 0.3:
        details = {"rough": "bowl" if weight_lb > 1 else "few"}
    if harvest.early_on:
        details["track"] = fruiting_tracks(crop)[-1][0]
    return details


def _how_it_was(
    plant: DemoPlant, harvest: Harvest, pick: int, days: Days, year: int, luck: Random
) -> dict[str, Any]:
    """Taste, ripeness, the last pick: each noted now and then."""
    told: dict[str, Any] = {}
    good = days.chance(plant.name, "taste").choice((4, 4, 5)) + days.chance(year, "taste").choice((-1, 0, 0))
    if luck.random() < 0.45:
        told["taste"] = str(max(2, min(5, good - (1 if pick == 0 else 0))))
    if pick == 0 and luck.random() < 0.5:
        told["ripe"] = "just"
    if pick == harvest.picks - 1:
        told["last_pick"] = "last"
    return told


def _froze(plant: DemoPlant, days: Days) -> Seen:
    day = days.walked(days.freeze + timedelta(days=4))
    return Seen(plant.name, "harvest", day, {"lost": ["freeze"], "lost_share": "all", "last_pick": "last"})
