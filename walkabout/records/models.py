"""The tables as Peewee sees them. The schema itself is written by the numbered steps; a test compares both."""

import peewee

from walkabout.records.database import database


class Record(peewee.Model):
    """Base of all tables."""

    class Meta:
        database = database
        legacy_table_names = False


class Setting(Record):
    name = peewee.TextField(primary_key=True)
    value = peewee.TextField()


class Yard(Record):
    id = peewee.TextField(primary_key=True)
    name = peewee.TextField()
    latitude = peewee.FloatField()
    longitude = peewee.FloatField()
    timezone = peewee.TextField()
    units = peewee.TextField()
    last_frost = peewee.TextField(null=True)
    first_frost = peewee.TextField(null=True)
    frost_free = peewee.BooleanField()
    changed = peewee.IntegerField(default=0)


class Origin(Record):
    position = peewee.AutoField()
    address = peewee.TextField()
    since = peewee.TextField()


class Person(Record):
    id = peewee.TextField(primary_key=True)
    name = peewee.TextField()
    password_hash = peewee.TextField()
    made_at = peewee.TextField()


class Membership(Record):
    person_id = peewee.TextField()
    yard_id = peewee.TextField()
    role = peewee.TextField()
    since = peewee.TextField()
    ended_at = peewee.TextField(null=True)

    class Meta:
        primary_key = peewee.CompositeKey("person_id", "yard_id")


class Session(Record):
    id = peewee.TextField(primary_key=True)
    token_hash = peewee.TextField()
    person_id = peewee.TextField()
    label = peewee.TextField()
    started_at = peewee.TextField()
    seen_at = peewee.TextField()
    expires_at = peewee.TextField()
    ended_at = peewee.TextField(null=True)


class SignInLink(Record):
    token_hash = peewee.TextField(primary_key=True)
    person_id = peewee.TextField()
    expires_at = peewee.TextField()
    used_at = peewee.TextField(null=True)


class Spot(Record):
    id = peewee.TextField(primary_key=True)
    yard_id = peewee.TextField()
    name = peewee.TextField()
    x_m = peewee.FloatField(null=True)
    y_m = peewee.FloatField(null=True)


class Plant(Record):
    id = peewee.TextField(primary_key=True)
    yard_id = peewee.TextField()
    name = peewee.TextField()
    crop = peewee.TextField()
    cultivar = peewee.TextField()
    rootstock = peewee.TextField()
    raised = peewee.TextField()
    planted = peewee.TextField(null=True)
    planted_about = peewee.BooleanField()
    spot_id = peewee.TextField(null=True)
    container = peewee.BooleanField()
    container_litres = peewee.FloatField(null=True)
    training = peewee.TextField()
    wanted_height_m = peewee.FloatField(null=True)
    source = peewee.TextField()
    raised_from = peewee.TextField(null=True)
    state = peewee.TextField()
    ended = peewee.TextField(null=True)
    ended_why = peewee.TextField()
    merged_into = peewee.TextField(null=True)
    search = peewee.TextField()
    made_at = peewee.TextField()
    changed = peewee.IntegerField(default=0)


class Limb(Record):
    id = peewee.TextField(primary_key=True)
    plant_id = peewee.TextField()
    name = peewee.TextField()
    crop = peewee.TextField()
    cultivar = peewee.TextField()
    grafted = peewee.TextField(null=True)
    state = peewee.TextField()
    made_at = peewee.TextField()


class Tag(Record):
    code = peewee.TextField(primary_key=True)
    plant_id = peewee.TextField(null=True)
    state = peewee.TextField()
    made_at = peewee.TextField()
    retired_at = peewee.TextField(null=True)
    limb_id = peewee.TextField(null=True)


class Entry(Record):
    seq = peewee.AutoField()
    id = peewee.TextField(unique=True)
    plant_id = peewee.TextField()
    kind = peewee.TextField()
    subject = peewee.TextField()
    seen_on = peewee.TextField()
    made_at = peewee.TextField()
    clock_difference = peewee.FloatField(null=True)
    corrected_at = peewee.IntegerField()
    received_at = peewee.TextField()
    details = peewee.TextField()
    replaces = peewee.TextField(null=True)
    withdraws = peewee.TextField(null=True)
    author_id = peewee.TextField()
    device = peewee.TextField()
    form = peewee.IntegerField()
    fingerprint = peewee.TextField()


class Standing(Record):
    plant_id = peewee.TextField()
    seen_on = peewee.TextField()
    corrected_at = peewee.IntegerField()
    entry_id = peewee.TextField()
    root_id = peewee.TextField()
    kind = peewee.TextField()
    subject = peewee.TextField()
    corrections = peewee.IntegerField()

    class Meta:
        primary_key = peewee.CompositeKey("plant_id", "seen_on", "corrected_at", "entry_id")


class Photo(Record):
    hash = peewee.TextField(primary_key=True)
    kept_hash = peewee.TextField()
    thumb_hash = peewee.TextField()
    width = peewee.IntegerField()
    height = peewee.IntegerField()
    bytes = peewee.IntegerField()
    author_id = peewee.TextField()
    received_at = peewee.TextField()


class EntryPhoto(Record):
    photo_hash = peewee.TextField()
    entry_id = peewee.TextField()
    plant_id = peewee.TextField()

    class Meta:
        primary_key = peewee.CompositeKey("photo_hash", "entry_id")


class Task(Record):
    id = peewee.TextField(primary_key=True)
    plant_id = peewee.TextField()
    title = peewee.TextField()
    opens = peewee.TextField()
    closes = peewee.TextField(null=True)
    made_by = peewee.TextField()
    made_at = peewee.TextField()


class Change(Record):
    number = peewee.AutoField()
    record = peewee.TextField()
    record_id = peewee.TextField()
    plant_id = peewee.TextField(null=True)
    made_at = peewee.TextField()


class Refusal(Record):
    number = peewee.AutoField()
    received_at = peewee.TextField()
    author_id = peewee.TextField(null=True)
    reason = peewee.TextField()
    raw = peewee.TextField()


MODELS: tuple[type[Record], ...] = (
    Setting, Yard, Origin, Person, Membership, Session, SignInLink, Spot, Plant, Limb, Tag, Entry, Standing, Photo,
    EntryPhoto, Task, Change, Refusal,
)  # fmt: skip
