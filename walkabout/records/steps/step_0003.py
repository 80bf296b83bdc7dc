"""Step 3: plants in full, limbs, photos. The plant table is made anew, since SQLite cannot change a CHECK."""

STATEMENTS: tuple[str, ...] = (
    # `merged_into` names the plant that this one turned out to be; its entries, tags and photos show there.
    """CREATE TABLE plant_in_full (
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
        training TEXT NOT NULL,
        wanted_height_m REAL,
        source TEXT NOT NULL,
        raised_from TEXT REFERENCES plant (id),
        state TEXT NOT NULL CHECK (state IN ('wanted', 'ordered', 'growing', 'dead', 'gone')),
        ended TEXT,
        ended_why TEXT NOT NULL,
        merged_into TEXT REFERENCES plant (id),
        search TEXT NOT NULL,
        made_at TEXT NOT NULL,
        changed INTEGER NOT NULL DEFAULT 0,
        CHECK (merged_into IS NULL OR merged_into <> id)
    )""",
    """INSERT INTO plant_in_full
        SELECT id, yard_id, name, crop, cultivar, rootstock, raised, planted, planted_about, spot_id, container,
            container_litres, '', NULL, '', NULL, state, NULL, '', NULL, search, made_at, changed
        FROM plant""",
    "DROP TABLE plant",
    "ALTER TABLE plant_in_full RENAME TO plant",
    "CREATE INDEX plant_name ON plant (name COLLATE NOCASE)",
    "CREATE INDEX plant_spot ON plant (spot_id)",
    "CREATE INDEX plant_merged ON plant (merged_into) WHERE merged_into IS NOT NULL",
    "CREATE INDEX plant_raised_from ON plant (raised_from) WHERE raised_from IS NOT NULL",
    """CREATE TABLE limb (
        id TEXT NOT NULL PRIMARY KEY,
        plant_id TEXT NOT NULL REFERENCES plant (id),
        name TEXT NOT NULL,
        crop TEXT NOT NULL,
        cultivar TEXT NOT NULL,
        grafted TEXT,
        state TEXT NOT NULL CHECK (state IN ('growing', 'dead', 'gone')),
        made_at TEXT NOT NULL
    )""",
    "CREATE INDEX limb_plant ON limb (plant_id)",
    "ALTER TABLE tag ADD COLUMN limb_id TEXT REFERENCES limb (id)",
    # A photo is named by the hash of what was sent; what is kept was made anew from it and has a hash of its own.
    """CREATE TABLE photo (
        hash TEXT NOT NULL PRIMARY KEY,
        kept_hash TEXT NOT NULL,
        thumb_hash TEXT NOT NULL,
        width INTEGER NOT NULL,
        height INTEGER NOT NULL,
        bytes INTEGER NOT NULL,
        author_id TEXT NOT NULL REFERENCES person (id),
        received_at TEXT NOT NULL
    ) WITHOUT ROWID""",
    # Which entries show a photo: worked out from `entry` alone. The photo may come later, or never.
    """CREATE TABLE entry_photo (
        photo_hash TEXT NOT NULL,
        entry_id TEXT NOT NULL,
        plant_id TEXT NOT NULL,
        PRIMARY KEY (photo_hash, entry_id)
    ) WITHOUT ROWID""",
)
