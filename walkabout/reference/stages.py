"""Growth stages by crop: BBCH codes with the words that a grower reads.

A stage is written "<track>/<bbch>", such as "crop/65": a plant stands in several tracks at once, and in each
track the codes rise through the season. "none" means that nothing has moved yet and is no row of the table.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, lru_cache

from walkabout.reference.crops import crops, crops_named
from walkabout.reference.tables import BASES, Row, TableError, one_of, table, text, texts, whole

FLOWERING = ("bud", "bloom")
FRUITING = ("set", "sizing", "ripening")
# BBCH principal stages (Hack et al. 1992): 0 to 4 buds, leaves and shoots; 5 and 6 flowers; 7 and 8 fruit; 9 rest.
_FLOWERS = range(50, 70)
_FLOWER_BUD_BREAK = (
    53  # the last code of flower buds that tells of waking, where leaf buds have no stage of their own
)
_PHASES = ("rest", "bud", "growth", "bloom", "set", "sizing", "ripening", "fall")


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage of one crop.

    Attributes:
        crop: key of the crop, or "" for the general scale.
        track: which of the plant's cycles: "crop", "leaf", "breba", "floricane", ...
        bbch: two-digit BBCH code, 0 to 99.
        phase: rest, bud, growth, bloom, set, sizing, ripening or fall.
        see: what the grower sees.
        basis: how far the code was checked: read, secondary, mixed, memory, practice or judgement.
    """

    crop: str
    track: str
    bbch: int
    key: str
    name: str
    phase: str
    see: str
    basis: str

    @property
    def code(self) -> str:
        """The stage as entries store it, such as "crop/65"."""
        return f"{self.track}/{self.bbch}"


@lru_cache(maxsize=256)  # a grower's own words come here too
def stages_of(crop: str) -> tuple[Stage, ...]:
    """All stages of a crop in the usual order of time; none for a crop that the books do not know."""
    row = table("look")["crop"].get(crop)
    return tuple(_read(crop, row["stage"], f"look.toml crop {crop}")) if row else ()


@cache
def general_stages() -> tuple[Stage, ...]:
    """Growth, bud and bloom stages of the general BBCH scale, for plants whose crop the books do not know."""
    return tuple(_read("", table("general-stages")["stage"], "general-stages.toml"))


@lru_cache(maxsize=256)  # a grower's own words come here too
def flowering_stages(crop: str) -> tuple[Stage, ...]:
    """Stages of flower buds and bloom of a crop; the general ones for an unknown crop."""
    return tuple(
        stage
        for stage in stages_of(crop) or general_stages()
        if stage.phase in FLOWERING and stage.bbch in _FLOWERS
    )


@lru_cache(maxsize=256)
def growth_stages(crop: str) -> tuple[Stage, ...]:
    """Stages of rest, waking, leaves, shoots and leaf fall of a crop; the general ones for an unknown crop.

    Where leaf buds have no stage of their own on a plant that was bare (apple, peach, blueberry), the flower buds
    tell of its waking, up to their breaking.
    """
    stages = stages_of(crop) or general_stages()
    growing = [stage for stage in stages if stage.bbch not in _FLOWERS and stage.phase not in FRUITING]
    known = crops().get(crop)
    if known and not known.evergreen and all(stage.phase != "bud" for stage in growing):
        growing += [stage for stage in stages if stage.phase == "bud" and stage.bbch <= _FLOWER_BUD_BREAK]
    return tuple(stage for stage in stages if stage in growing)


@lru_cache(maxsize=256)
def fruiting_stages(crop: str) -> tuple[Stage, ...]:
    """Stages from fruit set to ripe of a crop; none for an unknown crop."""
    return tuple(stage for stage in stages_of(crop) if stage.phase in FRUITING)


@lru_cache(maxsize=256)
def fruiting_tracks(crop: str) -> tuple[tuple[str, str], ...]:
    """(track, words) of the crops that ripen apart on one plant, such as breba and main; none where there is one."""
    tracks = dict.fromkeys(stage.track for stage in stages_of(crop) if stage.phase == "ripening")
    return tuple((track, track_words(track)) for track in tracks) if len(tracks) > 1 else ()


def track_words(track: str) -> str:
    """Words for a track that fruits apart, such as "Breba crop"; the track itself where the table has none."""
    return str(table("look")["track"].get(track, track))


def known_track(track: str) -> bool:
    """Whether any crop has this track as one of several that fruit."""
    return any(track == one for crop in crops() for one, _words in fruiting_tracks(crop))


@cache
def long_hanging() -> frozenset[str]:
    """Keys of the crops whose fruit may hang until the next bloom, so that two years' fruit hang at once."""
    row = table("look")["long_hanging"]
    return frozenset(
        key for name in texts(row, "crops", "look.toml long_hanging") for key in crops_named(name)
    )


def stage(crop: str, code: str) -> Stage | None:
    """The stage with this code: of the crop, else of the general scale, else None."""
    return _by_code(crop).get(code) or _by_code("").get(code)


def stage_words(crop: str, code: str) -> str:
    """Words for a stored stage code.

    A code that this crop does not have (its crop was corrected after the entry) is told by the first crop that
    has it; a code that no table has, by its number.
    """
    found = stage(crop, code) or _any_crop().get(code)
    return found.name if found else code.partition("/")[2] or code


def known_code(code: str) -> bool:
    """Whether any crop or the general scale has this stage code."""
    return code in _by_code("") or code in _any_crop()


def next_stage(crop: str, code: str) -> Stage | None:
    """The stage after this one in the same track, or None at the end or for an unknown code."""
    here = stage(crop, code)
    if here is None:
        return None
    stages = stages_of(crop) or general_stages()
    later = [other for other in stages if other.track == here.track and other.bbch > here.bbch]
    return min(later, key=lambda other: other.bbch, default=None)


def check_stages() -> None:
    """Read every stage of every crop. Raises TableError at the first row that cannot be used."""
    for crop in table("look")["crop"]:
        if crop not in crops():
            raise TableError(f"look.toml crop {crop}: is no crop of crops.toml")
    for crop in crops():
        if not stages_of(crop):
            raise TableError(f"look.toml: crop {crop} has no stages")
    general_stages()


@lru_cache(maxsize=256)  # a grower's own words come here too
def _by_code(crop: str) -> dict[str, Stage]:
    return {stage.code: stage for stage in (stages_of(crop) if crop else general_stages())}


@cache
def _any_crop() -> dict[str, Stage]:
    found: dict[str, Stage] = {}
    for crop in crops():
        for code, stage in _by_code(crop).items():
            found.setdefault(code, stage)
    return found


def _read(crop: str, rows: list[Row], file: str) -> Iterator[Stage]:
    """The rows as stages. Within a track the codes must rise, so that a code names one stage."""
    last: dict[str, int] = {}
    for number, row in enumerate(rows, 1):
        where = f"{file} stage {row.get('key', number)}"
        track, code = text(row, "track", where), whole(row, "bbch", where, 0, 99)
        if code <= last.get(track, -1):
            raise TableError(f"{where}: code {code} does not rise in track {track!r}")
        last[track] = code
        yield Stage(
            crop=crop,
            track=track,
            bbch=code,
            key=text(row, "key", where),
            name=text(row, "name", where),
            phase=one_of(row, "phase", where, _PHASES),
            see=text(row, "see", where),
            basis=one_of(row, "basis", where, BASES),
        )
