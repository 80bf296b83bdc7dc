PRAGMA application_id = 1463897163;
PRAGMA user_version = 1;
BEGIN TRANSACTION;
CREATE TABLE change (
        number INTEGER PRIMARY KEY AUTOINCREMENT,
        record TEXT NOT NULL,
        record_id TEXT NOT NULL,
        plant_id TEXT,
        made_at TEXT NOT NULL
    );
INSERT INTO "change" VALUES(1,'yard','9e127bfb-4d91-4cfc-a923-4bc1d910594b',NULL,'2026-11-25T13:44:50.625Z');
INSERT INTO "change" VALUES(2,'person','6feb0776-7db4-450f-923c-e9d37a06a307',NULL,'2026-11-25T13:44:50.628Z');
INSERT INTO "change" VALUES(3,'person','fde9bbdc-f78a-43ff-9b9c-59f7fdc3ec2f',NULL,'2026-11-25T13:44:50.629Z');
INSERT INTO "change" VALUES(4,'spot','208c2a59-83bb-487c-aa76-84151a4c7523','','2026-11-25T13:44:50.631Z');
INSERT INTO "change" VALUES(5,'plant','e7d34f69-2003-43cb-be1a-a90c0a160f60','e7d34f69-2003-43cb-be1a-a90c0a160f60','2026-11-25T13:44:50.630Z');
INSERT INTO "change" VALUES(6,'plant','0c348389-7c88-4e69-930b-381653e7c6ca','0c348389-7c88-4e69-930b-381653e7c6ca','2026-11-25T13:44:50.630Z');
INSERT INTO "change" VALUES(7,'tag','5DXNG67','e7d34f69-2003-43cb-be1a-a90c0a160f60','2026-11-25T13:44:50.633Z');
INSERT INTO "change" VALUES(8,'tag','367T9A4','0c348389-7c88-4e69-930b-381653e7c6ca','2026-11-25T13:44:50.633Z');
INSERT INTO "change" VALUES(9,'entry','01a21089-dc40-79b4-bdb8-d7942610783c','e7d34f69-2003-43cb-be1a-a90c0a160f60','2026-11-25T13:44:50.634Z');
INSERT INTO "change" VALUES(10,'entry','01a21089-dc40-73f3-9395-d44769313eda','e7d34f69-2003-43cb-be1a-a90c0a160f60','2026-11-25T13:44:50.634Z');
INSERT INTO "change" VALUES(11,'entry','01a21089-dc40-77b2-8af4-e6f005f22d92','e7d34f69-2003-43cb-be1a-a90c0a160f60','2026-11-25T13:44:50.634Z');
INSERT INTO "change" VALUES(12,'entry','01a21089-dc40-7f52-8b88-2cfba8af2040','0c348389-7c88-4e69-930b-381653e7c6ca','2026-11-25T13:44:50.634Z');
INSERT INTO "change" VALUES(13,'entry','01a21089-dc40-7768-8d38-c88423ffd938','0c348389-7c88-4e69-930b-381653e7c6ca','2026-11-25T13:44:50.634Z');
INSERT INTO "change" VALUES(14,'entry','01a21089-dc40-74c6-8490-12c22dee6517','0c348389-7c88-4e69-930b-381653e7c6ca','2026-11-25T13:44:50.634Z');
INSERT INTO "change" VALUES(15,'task','1274b341-ad37-4d3f-8a22-42b58f8c342f','e7d34f69-2003-43cb-be1a-a90c0a160f60','2026-11-25T13:44:50.635Z');
CREATE TABLE entry (
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
    );
INSERT INTO "entry" VALUES(1,'01a21089-dc40-79b4-bdb8-d7942610783c','e7d34f69-2003-43cb-be1a-a90c0a160f60','bloom','crop','2026-02-20','2026-11-25T02:30:00.000+00:00',NULL,1795573800000,'2026-11-25T13:44:50.634Z','{"stage":"crop/65"}',NULL,NULL,'fde9bbdc-f78a-43ff-9b9c-59f7fdc3ec2f','0e9f3b52-1f0f-4b6e-9d54-2f3f6f0b6a01',1,'14b11fcbe817b760eb7ff47f3a33b6d7257a4eb293db3663f3d069ae5c54fcf3');
INSERT INTO "entry" VALUES(2,'01a21089-dc40-73f3-9395-d44769313eda','e7d34f69-2003-43cb-be1a-a90c0a160f60','harvest','','2026-06-01','2026-11-25T02:30:00.000+00:00',NULL,1795573800000,'2026-11-25T13:44:50.634Z','{"weight_kg":3.4}',NULL,NULL,'fde9bbdc-f78a-43ff-9b9c-59f7fdc3ec2f','0e9f3b52-1f0f-4b6e-9d54-2f3f6f0b6a01',1,'1b0f6aa0559f2cfaf6347e30360031aa5cb9a0bfc7960a29baf6aa6771b44de9');
INSERT INTO "entry" VALUES(3,'01a21089-dc40-77b2-8af4-e6f005f22d92','e7d34f69-2003-43cb-be1a-a90c0a160f60','harvest','','2026-06-01','2026-11-25T02:30:00.000+00:00',NULL,1795573800000,'2026-11-25T13:44:50.634Z','{"weight_kg":4.3}','01a21089-dc40-73f3-9395-d44769313eda',NULL,'fde9bbdc-f78a-43ff-9b9c-59f7fdc3ec2f','0e9f3b52-1f0f-4b6e-9d54-2f3f6f0b6a01',1,'03705de4d9e103af6e16e03bb5a4cafd390f9b626f9aef5151a3066fe5f9dc27');
INSERT INTO "entry" VALUES(4,'01a21089-dc40-7f52-8b88-2cfba8af2040','0c348389-7c88-4e69-930b-381653e7c6ca','note','','2026-07-01','2026-11-25T02:30:00.000+00:00',NULL,1795573800000,'2026-11-25T13:44:50.634Z','{"words":"Leaves curl, =1+1 and “quotes”"}',NULL,NULL,'fde9bbdc-f78a-43ff-9b9c-59f7fdc3ec2f','0e9f3b52-1f0f-4b6e-9d54-2f3f6f0b6a01',1,'06bb7dc392d6181a75f3b6184de50c790a68107667b75db8989e864e8f7d0955');
INSERT INTO "entry" VALUES(5,'01a21089-dc40-7768-8d38-c88423ffd938','0c348389-7c88-4e69-930b-381653e7c6ca','withdrawal','','2026-07-02','2026-11-25T02:30:00.000+00:00',NULL,1795573800000,'2026-11-25T13:44:50.634Z','{}',NULL,'01a21089-dc40-7f52-8b88-2cfba8af2040','fde9bbdc-f78a-43ff-9b9c-59f7fdc3ec2f','0e9f3b52-1f0f-4b6e-9d54-2f3f6f0b6a01',1,'8b40f673ead20b948957118146e32f9fe6a4bf14560c42e0ef0cf701a399c37c');
INSERT INTO "entry" VALUES(6,'01a21089-dc40-74c6-8490-12c22dee6517','0c348389-7c88-4e69-930b-381653e7c6ca','damage','freeze','2026-01-14','2026-11-25T02:30:00.000+00:00',NULL,1795573800000,'2026-11-25T13:44:50.634Z','{"cause":"freeze","dead_back_to_cm":40}',NULL,NULL,'fde9bbdc-f78a-43ff-9b9c-59f7fdc3ec2f','0e9f3b52-1f0f-4b6e-9d54-2f3f6f0b6a01',1,'295f39dab641449dae73b3713251a58355d19a237fba549b5f872894382cf7ad');
CREATE TABLE membership (
        person_id TEXT NOT NULL REFERENCES person (id),
        yard_id TEXT NOT NULL REFERENCES yard (id),
        role TEXT NOT NULL CHECK (role IN ('owner', 'keeper')),
        since TEXT NOT NULL,
        ended_at TEXT,
        PRIMARY KEY (person_id, yard_id)
    ) WITHOUT ROWID;
INSERT INTO "membership" VALUES('6feb0776-7db4-450f-923c-e9d37a06a307','9e127bfb-4d91-4cfc-a923-4bc1d910594b','owner','2026-11-25T13:44:50.628Z',NULL);
INSERT INTO "membership" VALUES('fde9bbdc-f78a-43ff-9b9c-59f7fdc3ec2f','9e127bfb-4d91-4cfc-a923-4bc1d910594b','keeper','2026-11-25T13:44:50.629Z',NULL);
CREATE TABLE origin (
        position INTEGER NOT NULL PRIMARY KEY,
        address TEXT NOT NULL UNIQUE,
        since TEXT NOT NULL
    );
INSERT INTO "origin" VALUES(1,'http://localhost','2026-11-25T13:44:50.625Z');
CREATE TABLE person (
        id TEXT NOT NULL PRIMARY KEY,
        name TEXT NOT NULL COLLATE NOCASE UNIQUE,
        password_hash TEXT NOT NULL,
        made_at TEXT NOT NULL
    );
INSERT INTO "person" VALUES('6feb0776-7db4-450f-923c-e9d37a06a307','Odile','scrypt:256:8:1$0R0aHAFc6WkpIP2h$01401498e3870a2ba3e47db8023a99bd691a9c1ad0b7f0aa4985679a20f5720298a8e18f2e18a64913ac019f09c09b474a2fddd1b55ecf649f31b6765f9bac04','2026-11-25T13:44:50.628Z');
INSERT INTO "person" VALUES('fde9bbdc-f78a-43ff-9b9c-59f7fdc3ec2f','Kofi','scrypt:256:8:1$uk0LMhFm8Wbp7M0C$d88e1d0160cb64bad4dd2b596e6191a623e432e8c14f47ff4687f58cd5ca049643fe34a735ced3c4d02a19c06b93f7d857775ed835119fc6528ec4f941912849','2026-11-25T13:44:50.629Z');
CREATE TABLE plant (
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
    );
INSERT INTO "plant" VALUES('e7d34f69-2003-43cb-be1a-a90c0a160f60','9e127bfb-4d91-4cfc-a923-4bc1d910594b','Row 1 tree 1','apple','Anna','M.111','grafted','2019-02-10',0,'208c2a59-83bb-487c-aa76-84151a4c7523',0,NULL,'growing','row 1 tree 1 apple anna m.111 row 1','2026-11-25T13:44:50.630Z',15);
INSERT INTO "plant" VALUES('0c348389-7c88-4e69-930b-381653e7c6ca','9e127bfb-4d91-4cfc-a923-4bc1d910594b','Lemon by the tap','lemon','','','',NULL,0,NULL,1,60.0,'growing','lemon by the tap lemon','2026-11-25T13:44:50.630Z',14);
CREATE TABLE refusal (
        number INTEGER PRIMARY KEY AUTOINCREMENT,
        received_at TEXT NOT NULL,
        author_id TEXT,
        reason TEXT NOT NULL,
        raw TEXT NOT NULL
    );
CREATE TABLE session (
        id TEXT NOT NULL PRIMARY KEY,
        token_hash TEXT NOT NULL UNIQUE,
        person_id TEXT NOT NULL REFERENCES person (id),
        label TEXT NOT NULL,
        started_at TEXT NOT NULL,
        seen_at TEXT NOT NULL,
        expires_at TEXT NOT NULL,
        ended_at TEXT
    );
CREATE TABLE setting (
        name TEXT NOT NULL PRIMARY KEY,
        value TEXT NOT NULL
    ) WITHOUT ROWID;
INSERT INTO "setting" VALUES('database_id','3aecdd22-1f2c-4519-93af-7b89696a1b10');
INSERT INTO "setting" VALUES('secret_key','1c8ca072621acaa62d633611c1df552500a027c8de6bee5c6eb2545381613e92');
CREATE TABLE sign_in_link (
        token_hash TEXT NOT NULL PRIMARY KEY,
        person_id TEXT NOT NULL REFERENCES person (id),
        expires_at TEXT NOT NULL,
        used_at TEXT
    ) WITHOUT ROWID;
CREATE TABLE spot (
        id TEXT NOT NULL PRIMARY KEY,
        yard_id TEXT NOT NULL REFERENCES yard (id),
        name TEXT NOT NULL COLLATE NOCASE,
        x_m REAL,
        y_m REAL,
        UNIQUE (yard_id, name)
    );
INSERT INTO "spot" VALUES('208c2a59-83bb-487c-aa76-84151a4c7523','9e127bfb-4d91-4cfc-a923-4bc1d910594b','Row 1',NULL,NULL);
CREATE TABLE standing (
        plant_id TEXT NOT NULL,
        seen_on TEXT NOT NULL,
        corrected_at INTEGER NOT NULL,
        entry_id TEXT NOT NULL,
        root_id TEXT NOT NULL,
        kind TEXT NOT NULL,
        subject TEXT NOT NULL,
        corrections INTEGER NOT NULL,
        PRIMARY KEY (plant_id, seen_on, corrected_at, entry_id)
    ) WITHOUT ROWID;
INSERT INTO "standing" VALUES('0c348389-7c88-4e69-930b-381653e7c6ca','2026-01-14',1795573800000,'01a21089-dc40-74c6-8490-12c22dee6517','01a21089-dc40-74c6-8490-12c22dee6517','damage','freeze',0);
INSERT INTO "standing" VALUES('e7d34f69-2003-43cb-be1a-a90c0a160f60','2026-02-20',1795573800000,'01a21089-dc40-79b4-bdb8-d7942610783c','01a21089-dc40-79b4-bdb8-d7942610783c','bloom','crop',0);
INSERT INTO "standing" VALUES('e7d34f69-2003-43cb-be1a-a90c0a160f60','2026-06-01',1795573800000,'01a21089-dc40-77b2-8af4-e6f005f22d92','01a21089-dc40-73f3-9395-d44769313eda','harvest','',1);
CREATE TABLE tag (
        code TEXT NOT NULL PRIMARY KEY,
        plant_id TEXT REFERENCES plant (id),
        state TEXT NOT NULL CHECK (state IN ('hanging', 'retired')),
        made_at TEXT NOT NULL,
        retired_at TEXT
    ) WITHOUT ROWID;
INSERT INTO "tag" VALUES('367T9A4','0c348389-7c88-4e69-930b-381653e7c6ca','hanging','2026-11-25T13:44:50.633Z',NULL);
INSERT INTO "tag" VALUES('5DXNG67','e7d34f69-2003-43cb-be1a-a90c0a160f60','hanging','2026-11-25T13:44:50.633Z',NULL);
CREATE TABLE task (
        id TEXT NOT NULL PRIMARY KEY,
        plant_id TEXT NOT NULL REFERENCES plant (id),
        title TEXT NOT NULL,
        opens TEXT NOT NULL,
        closes TEXT,
        made_by TEXT NOT NULL REFERENCES person (id),
        made_at TEXT NOT NULL
    );
INSERT INTO "task" VALUES('1274b341-ad37-4d3f-8a22-42b58f8c342f','e7d34f69-2003-43cb-be1a-a90c0a160f60','Thin to a hand apart','2026-04-01','2026-04-30','6feb0776-7db4-450f-923c-e9d37a06a307','2026-11-25T13:44:50.635Z');
CREATE TABLE yard (
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
    );
INSERT INTO "yard" VALUES('9e127bfb-4d91-4cfc-a923-4bc1d910594b','Long Meadow',42.6,-76.4,'America/New_York','us','about 05-12','10-06',0,3);
CREATE INDEX session_person ON session (person_id);
CREATE INDEX plant_name ON plant (name COLLATE NOCASE);
CREATE INDEX plant_spot ON plant (spot_id);
CREATE INDEX tag_plant ON tag (plant_id);
CREATE INDEX entry_replaces ON entry (replaces) WHERE replaces IS NOT NULL;
CREATE INDEX entry_withdraws ON entry (withdraws) WHERE withdraws IS NOT NULL;
CREATE TRIGGER entry_is_never_updated BEFORE UPDATE ON entry
        BEGIN SELECT RAISE (ABORT, 'an entry is never changed: add one that replaces it'); END;
CREATE TRIGGER entry_is_never_deleted BEFORE DELETE ON entry
        BEGIN SELECT RAISE (ABORT, 'an entry is never deleted: add one that withdraws it'); END;
CREATE INDEX task_plant ON task (plant_id);
DELETE FROM "sqlite_sequence";
INSERT INTO "sqlite_sequence" VALUES('change',15);
INSERT INTO "sqlite_sequence" VALUES('entry',6);
COMMIT;
