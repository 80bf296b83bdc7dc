"""Work in the demo: what is put on comes off again, sprays and saws wait, nothing is done to what is not there."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta

import pytest

from walkabout.demo.days import Days
from walkabout.demo.seen import CITRUS, Seen
from walkabout.demo.story import story
from walkabout.demo.tables import demo_plants
from walkabout.demo.weather import hit_hard
from walkabout.entries.done import no_pick_before

TODAYS = [date(2027, 1, 15), date(2027, 4, 15), date(2027, 7, 15), date(2027, 10, 15), date(2028, 2, 29)]
PAIRS = [
    ({"protected"}, {"uncovered"}),
    ({"banked"}, {"unbanked"}),
    ({"carried_in"}, {"carried_out"}),
    ({"netted"}, {"net_off"}),
]
# What stays on through the light frosts of a winter is not told again with each of them.
LONGEST = {"protected": 70, "banked": 150, "carried_in": 10, "netted": 70}


def of_plants(told: list[Seen], kind: str) -> dict[str, list[Seen]]:
    """What was told of each plant of one kind, in the order of time."""
    found: dict[str, list[Seen]] = {}
    for seen in told:
        if seen.kind == kind:
            found.setdefault(seen.plant, []).append(seen)
    return found


@pytest.mark.parametrize("today", TODAYS)
@pytest.mark.parametrize(("on", "off"), PAIRS)
def test_what_is_put_on_comes_off(today: date, on: set[str], off: set[str]) -> None:
    ended = {plant.name: Days(today, 1).ended(plant) for plant in demo_plants()}
    (name,) = on
    seen_some = False
    for plant, works in of_plants(story(Days(today, 1)), "done").items():
        put_on = [seen.on for seen in works if on & set(seen.details.get("work", ()))]
        taken_off = [seen.on for seen in works if off & set(seen.details.get("work", ()))]
        for day in put_on:
            last = min(today, ended[plant] or today)
            if day + timedelta(days=LONGEST[name]) < last:
                seen_some = True
                assert any(day < after <= day + timedelta(days=LONGEST[name]) for after in taken_off), plant
    assert seen_some


@pytest.mark.parametrize("today", TODAYS)
def test_what_the_freeze_hit_is_left_alone(today: date) -> None:
    # Recovering plants are neither cut, fed nor sprayed until new wood shows what lives: common practice, no source.
    days = Days(today, 1)
    plants = {plant.name: plant for plant in demo_plants()}
    hit = {plant.name for plant in plants.values() if hit_hard(plant, days, days.freeze)}
    assert {"Row lemon", "Seedless by the hose", "Wall avocado"} <= hit
    for seen in story(days):
        if seen.kind == "done" and hit_hard(plants[seen.plant], days, seen.on):
            cut = set(seen.details["work"]) & {"fed", "sprayed", "suckers_removed", "thinned", "grafted"}
            assert not cut, seen
            if "pruned" in seen.details["work"]:
                assert seen.details["pruned_for"] == ["after_freeze"]
                if plants[seen.plant].crop in CITRUS:
                    assert (seen.on - days.freeze).days > 140


@pytest.mark.parametrize("today", TODAYS)
def test_fruit_waits_after_a_spray(today: date) -> None:
    # Days before harvest, as on a label: NPIC, preharvest interval page.
    told = story(Days(today, 1))
    picked = of_plants(told, "harvest")
    sprayed = 0
    for plant, works in of_plants(told, "done").items():
        for seen in works:
            waits = no_pick_before(seen.details, seen.on)
            if "sprayed" in seen.details.get("work", ()):
                assert waits is not None
                assert seen.details["hours_before_reentry"] > 0
                sprayed += 1
                assert not [one for one in picked.get(plant, ()) if seen.on <= one.on < waits]
    assert sprayed > 20


@pytest.mark.parametrize("today", TODAYS)
def test_no_spray_in_open_flowers(today: date) -> None:
    # Bees: common practice, no source. The stages of open flowers are BBCH 60 to 69.
    told = story(Days(today, 1))
    bloom = of_plants(told, "bloom")
    for plant, works in of_plants(told, "done").items():
        for seen in works:
            if "sprayed" in seen.details.get("work", ()):
                last = next((one for one in reversed(bloom.get(plant, [])) if one.on <= seen.on), None)
                if last and last.details["stage"] != "none" and (seen.on - last.on).days < 21:
                    assert not 60 <= int(last.details["stage"].partition("/")[2]) < 67, (plant, seen.on)


def test_many_works_each_in_its_place() -> None:
    told = story(Days(TODAYS[3], 1))
    done = Counter(work for seen in told if seen.kind == "done" for work in seen.details.get("work", ()))
    assert len(done) > 18
    pots = {plant.name for plant in demo_plants() if plant.pot_gal}
    for seen in told:
        works = set(seen.details.get("work", ()))
        if works & {"carried_in", "carried_out", "repotted"}:
            assert seen.plant in pots
        if works & {"banked", "unbanked"}:
            assert seen.plant not in pots
    assert sum(done.values()) < len(told) / 2
