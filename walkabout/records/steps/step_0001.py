"""Step 1: yard, people, spots, plants, tags, entries, tasks, and the number of every change."""

STATEMENTS: tuple[str, ...] = (
    """CREATE TABLE setting (
        name TEXT NOT NULL PRIMARY KEY,
        value TEXT NOT NULL
    ) WITHOUT ROWID""",
    """CREATE TABLE yard (
        id TEXT NOT NULL PRIMARY KEY,
        name TEXT NOT NULL,
        latitude REAL NOT NULL CHECK (latitude BETWEEN -90 AND 90),
        longitude REAL NOT NULL CHECK (longitude BETWEEN -180 AND 180),
        timezone TEXT NOT NULL,
        units TEXT NOT NULL CHECK (units IN ('us', 'metric')),
        last_frost TEXT,
        first_frost TEXT,
        frost_free INTEGER NOT NULL,
        changed INTEGER NOT NULL DEFAULT 0
    )""",
    """CREATE TABLE origin (
        position INTEGER NOT NULL PRIMARY KEY,
        address TEXT NOT NULL UNIQUE,
        since TEXT NOT NULL
    )""",
    """CREATE TABLE person (
        id TEXT NOT NULL PRIMARY KEY,
        name TEXT NOT NULL COLLATE NOCASE UNIQUE,
        password_hash TEXT NOT NULL,
        made_at TEXT NOT NULL
    )""",
    """CREATE TABLE membership (
        person_id TEXT NOT NULL REFERENCES person (id),
        yard_id TEXT NOT NULL REFERENCES yard (id),
        role TEXT NOT NULL CHECK (role IN ('owner', 'keeper')),
        since TEXT NOT NULL,
        ended_at TEXT,
        PRIMARY KEY (person_id, yard_id)
    ) WITHOUT ROWID""",
    """CREATE TABLE session (
        id TEXT NOT NULL PRIMARY KEY,
        token_hash TEXT NOT NULL UNIQUE,
        person_id TEXT NOT NULL REFERENCES person (id),
        label TEXT NOT NULL,
        started_at TEXT NOT NULL,
        seen_at TEXT NOT NULL,
        expires_at TEXT NOT NULL,
        ended_at TEXT
    )""",
    "CREATE INDEX session_person ON session (person_id)",
    """CREATE TABLE sign_in_link (
        token_hash TEXT NOT NULL PRIMARY KEY,
        person_id TEXT NOT NULL REFERENCES person (id),
        expires_at TEXT NOT NULL,
        used_at TEXT
    ) WITHOUT ROWID""",
    """CREATE TABLE spot (
        id TEXT NOT NULL PRIMARY KEY,
        yard_id TEXT NOT NULL REFERENCES yard (id),
        name TEXT NOT NULL COLLATE NOCASE,
        x_m REAL,
        y_m REAL,
        UNIQUE (yard_id, name)
    )""",
    """CREATE TABLE plant (
        id TEXT NOT NULL PRIMARY KEY,
        yard_id TEXT NOT NULL REFERENCES yard (id),
        name TEXT NOT NULL,
        crop TEXT NOT NULL,
        cultivar TEXT NOT NULL,
        rootstock TEXT NOT NULL,
        raised TEXT NOT NULL,
        planted TEXT,
        planted_about INTEGER NOT NULL,
        spot_id TEXT REFERENCES spot (id),
        container INTEGER NOT NULL,
        container_litres REAL,
        state TEXT NOT NULL CHECK (state IN ('growing', 'dead', 'gone')),
        search TEXT NOT NULL,
        made_at TEXT NOT NULL,
        changed INTEGER NOT NULL DEFAULT 0
    )""",
    "CREATE INDEX plant_name ON plant (name COLLATE NOCASE)",
    "CREATE INDEX plant_spot ON plant (spot_id)",
    """CREATE TABLE tag (
        code TEXT NOT NULL PRIMARY KEY,
        plant_id TEXT REFERENCES plant (id),
        state TEXT NOT NULL CHECK (state IN ('hanging', 'retired')),
        made_at TEXT NOT NULL,
        retired_at TEXT
    ) WITHOUT ROWID""",
    "CREATE INDEX tag_plant ON tag (plant_id)",
    # `replaces` and `withdraws` are no foreign keys: a correction may arrive before what it corrects.
    """CREATE TABLE entry (
        seq INTEGER PRIMARY KEY AUTOINCREMENT,
        id TEXT NOT NULL UNIQUE,
        plant_id TEXT NOT NULL REFERENCES plant (id),
        kind TEXT NOT NULL,
        subject TEXT NOT NULL,
        seen_on TEXT NOT NULL,
        made_at TEXT NOT NULL,
        clock_difference REAL,
        corrected_at INTEGER NOT NULL,
        received_at TEXT NOT NULL,
        details TEXT NOT NULL,
        replaces TEXT,
        withdraws TEXT,
        author_id TEXT NOT NULL REFERENCES person (id),
        device TEXT NOT NULL,
        form INTEGER NOT NULL,
        fingerprint TEXT NOT NULL,
        CHECK (replaces IS NULL OR withdraws IS NULL)
    )""",
    "CREATE INDEX entry_replaces ON entry (replaces) WHERE replaces IS NOT NULL",
    "CREATE INDEX entry_withdraws ON entry (withdraws) WHERE withdraws IS NOT NULL",
    """CREATE TRIGGER entry_is_never_updated BEFORE UPDATE ON entry
        BEGIN SELECT RAISE (ABORT, 'an entry is never changed: add one that replaces it'); END""",
    """CREATE TRIGGER entry_is_never_deleted BEFORE DELETE ON entry
        BEGIN SELECT RAISE (ABORT, 'an entry is never deleted: add one that withdraws it'); END""",
    # Which entries stand: worked out from `entry` alone, can be dropped and rebuilt at any time. A plant's rows lie
    # together in the order of its story and are few, so no further index is worth what each new entry would pay for it.
    """CREATE TABLE standing (
        plant_id TEXT NOT NULL,
        seen_on TEXT NOT NULL,
        corrected_at INTEGER NOT NULL,
        entry_id TEXT NOT NULL,
        root_id TEXT NOT NULL,
        kind TEXT NOT NULL,
        subject TEXT NOT NULL,
        corrections INTEGER NOT NULL,
        PRIMARY KEY (plant_id, seen_on, corrected_at, entry_id)
    ) WITHOUT ROWID""",
    """CREATE TABLE task (
        id TEXT NOT NULL PRIMARY KEY,
        plant_id TEXT NOT NULL REFERENCES plant (id),
        title TEXT NOT NULL,
        opens TEXT NOT NULL,
        closes TEXT,
        made_by TEXT NOT NULL REFERENCES person (id),
        made_at TEXT NOT NULL
    )""",
    "CREATE INDEX task_plant ON task (plant_id)",
    """CREATE TABLE change (
        number INTEGER PRIMARY KEY AUTOINCREMENT,
        record TEXT NOT NULL,
        record_id TEXT NOT NULL,
        plant_id TEXT,
        made_at TEXT NOT NULL
    )""",
    """CREATE TABLE refusal (
        number INTEGER PRIMARY KEY AUTOINCREMENT,
        received_at TEXT NOT NULL,
        author_id TEXT,
        reason TEXT NOT NULL,
        raw TEXT NOT NULL
    )""",
)
