PRAGMA application_id = 1463897163;
PRAGMA user_version = 2;
BEGIN TRANSACTION;
CREATE TABLE change (
        number INTEGER PRIMARY KEY AUTOINCREMENT,
        record TEXT NOT NULL,
        record_id TEXT NOT NULL,
        plant_id TEXT,
        made_at TEXT NOT NULL
    );
INSERT INTO "change" VALUES(1,'yard','7216ddd0-6cc8-4564-8682-191a275e1b2e',NULL,'2026-11-25T13:52:36.101Z');
INSERT INTO "change" VALUES(2,'person','1448fced-e386-4dee-a4fa-0be48bced080',NULL,'2026-11-25T13:52:36.111Z');
INSERT INTO "change" VALUES(3,'person','45cbf95b-0957-4e79-93da-6c5d3267e68b',NULL,'2026-11-25T13:52:36.137Z');
INSERT INTO "change" VALUES(4,'spot','8768646f-deaa-4e06-9d33-5a1a5d7d363f','','2026-11-25T13:52:36.145Z');
INSERT INTO "change" VALUES(5,'plant','56597251-1354-4703-8a08-b6b37fb2ce01','56597251-1354-4703-8a08-b6b37fb2ce01','2026-11-25T13:52:36.145Z');
INSERT INTO "change" VALUES(6,'plant','bfe341db-dc68-4c5e-bc5f-e6193a175907','bfe341db-dc68-4c5e-bc5f-e6193a175907','2026-11-25T13:52:36.145Z');
INSERT INTO "change" VALUES(7,'tag','K229NKZ','56597251-1354-4703-8a08-b6b37fb2ce01','2026-11-25T13:52:36.150Z');
INSERT INTO "change" VALUES(8,'tag','R8CPDHF','bfe341db-dc68-4c5e-bc5f-e6193a175907','2026-11-25T13:52:36.150Z');
INSERT INTO "change" VALUES(9,'entry','01a21089-dc40-7753-a464-3320edc19e99','56597251-1354-4703-8a08-b6b37fb2ce01','2026-11-25T13:52:36.158Z');
INSERT INTO "change" VALUES(10,'entry','01a21089-dc40-7f53-9b3a-b1ebcaac5054','56597251-1354-4703-8a08-b6b37fb2ce01','2026-11-25T13:52:36.158Z');
INSERT INTO "change" VALUES(11,'entry','01a21089-dc40-75f9-8ca9-a3b1202e7902','56597251-1354-4703-8a08-b6b37fb2ce01','2026-11-25T13:52:36.158Z');
INSERT INTO "change" VALUES(12,'entry','01a21089-dc40-7c26-bf07-44a9912ee190','bfe341db-dc68-4c5e-bc5f-e6193a175907','2026-11-25T13:52:36.158Z');
INSERT INTO "change" VALUES(13,'entry','01a21089-dc40-7633-b293-1aa5b5c3b4da','bfe341db-dc68-4c5e-bc5f-e6193a175907','2026-11-25T13:52:36.158Z');
INSERT INTO "change" VALUES(14,'entry','01a21089-dc40-762e-9007-d0e3b6a72564','bfe341db-dc68-4c5e-bc5f-e6193a175907','2026-11-25T13:52:36.158Z');
INSERT INTO "change" VALUES(15,'task','8280db86-13ec-42fe-b7f6-d883ed8c8942','56597251-1354-4703-8a08-b6b37fb2ce01','2026-11-25T13:52:36.172Z');
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
INSERT INTO "entry" VALUES(1,'01a21089-dc40-7753-a464-3320edc19e99','56597251-1354-4703-8a08-b6b37fb2ce01','bloom','crop','2026-02-20','2026-11-25T02:30:00.000+00:00',NULL,1795573800000,'2026-11-25T13:52:36.158Z','{"stage":"crop/65"}',NULL,NULL,'45cbf95b-0957-4e79-93da-6c5d3267e68b','0e9f3b52-1f0f-4b6e-9d54-2f3f6f0b6a01',1,'045b545eb18fc40778d956b7c7d889e73f5c5a64ade3fae0d7def020cfd7b512');
INSERT INTO "entry" VALUES(2,'01a21089-dc40-7f53-9b3a-b1ebcaac5054','56597251-1354-4703-8a08-b6b37fb2ce01','harvest','','2026-06-01','2026-11-25T02:30:00.000+00:00',NULL,1795573800000,'2026-11-25T13:52:36.158Z','{"weight_kg":3.4}',NULL,NULL,'45cbf95b-0957-4e79-93da-6c5d3267e68b','0e9f3b52-1f0f-4b6e-9d54-2f3f6f0b6a01',1,'496ddd17ca189a2eafe3c340aa385a7277513df6d3b4963e2a946db92ffa810f');
INSERT INTO "entry" VALUES(3,'01a21089-dc40-75f9-8ca9-a3b1202e7902','56597251-1354-4703-8a08-b6b37fb2ce01','harvest','','2026-06-01','2026-11-25T02:30:00.000+00:00',NULL,1795573800000,'2026-11-25T13:52:36.158Z','{"weight_kg":4.3}','01a21089-dc40-7f53-9b3a-b1ebcaac5054',NULL,'45cbf95b-0957-4e79-93da-6c5d3267e68b','0e9f3b52-1f0f-4b6e-9d54-2f3f6f0b6a01',1,'b7dea0284f860fdb0cffdf01b566d09a78092e0618eb2216bebe93784a8918b0');
INSERT INTO "entry" VALUES(4,'01a21089-dc40-7c26-bf07-44a9912ee190','bfe341db-dc68-4c5e-bc5f-e6193a175907','note','','2026-07-01','2026-11-25T02:30:00.000+00:00',NULL,1795573800000,'2026-11-25T13:52:36.158Z','{"words":"Leaves curl, =1+1 and “quotes”"}',NULL,NULL,'45cbf95b-0957-4e79-93da-6c5d3267e68b','0e9f3b52-1f0f-4b6e-9d54-2f3f6f0b6a01',1,'207ef6b7581c1aa8d7e3aba9a988f37bf0c1983cc3d6fdcd7c6855a279c2cf3c');
INSERT INTO "entry" VALUES(5,'01a21089-dc40-7633-b293-1aa5b5c3b4da','bfe341db-dc68-4c5e-bc5f-e6193a175907','withdrawal','','2026-07-02','2026-11-25T02:30:00.000+00:00',NULL,1795573800000,'2026-11-25T13:52:36.158Z','{}',NULL,'01a21089-dc40-7c26-bf07-44a9912ee190','45cbf95b-0957-4e79-93da-6c5d3267e68b','0e9f3b52-1f0f-4b6e-9d54-2f3f6f0b6a01',1,'60599de794f8e00a3301af92a4c86abf8df6df7b7bd0ab4790b8e14e6d9e3b25');
INSERT INTO "entry" VALUES(6,'01a21089-dc40-762e-9007-d0e3b6a72564','bfe341db-dc68-4c5e-bc5f-e6193a175907','damage','freeze','2026-01-14','2026-11-25T02:30:00.000+00:00',NULL,1795573800000,'2026-11-25T13:52:36.158Z','{"cause":"freeze","dead_back_to_cm":40}',NULL,NULL,'45cbf95b-0957-4e79-93da-6c5d3267e68b','0e9f3b52-1f0f-4b6e-9d54-2f3f6f0b6a01',1,'3945cc0124dc7d54780ec6da9316cf7b2a4015db8d3f0a148da0eef353adc423');
CREATE TABLE membership (
        person_id TEXT NOT NULL REFERENCES person (id),
        yard_id TEXT NOT NULL REFERENCES yard (id),
        role TEXT NOT NULL CHECK (role IN ('owner', 'keeper')),
        since TEXT NOT NULL,
        ended_at TEXT,
        PRIMARY KEY (person_id, yard_id)
    ) WITHOUT ROWID;
INSERT INTO "membership" VALUES('1448fced-e386-4dee-a4fa-0be48bced080','7216ddd0-6cc8-4564-8682-191a275e1b2e','owner','2026-11-25T13:52:36.111Z',NULL);
INSERT INTO "membership" VALUES('45cbf95b-0957-4e79-93da-6c5d3267e68b','7216ddd0-6cc8-4564-8682-191a275e1b2e','keeper','2026-11-25T13:52:36.137Z',NULL);
CREATE TABLE origin (
        position INTEGER NOT NULL PRIMARY KEY,
        address TEXT NOT NULL UNIQUE,
        since TEXT NOT NULL
    );
INSERT INTO "origin" VALUES(1,'http://localhost','2026-11-25T13:52:36.101Z');
CREATE TABLE person (
        id TEXT NOT NULL PRIMARY KEY,
        name TEXT NOT NULL COLLATE NOCASE UNIQUE,
        password_hash TEXT NOT NULL,
        made_at TEXT NOT NULL
    );
INSERT INTO "person" VALUES('1448fced-e386-4dee-a4fa-0be48bced080','Odile','scrypt:256:8:1$sfllzahU53WRVtjY$fcf5d9fd968e8ba497bd0160e5195113e1f6b4a9ae4f7a0bb27c8c7d949dc0cb8e213903f11d17af99dd27163e6317955eee55b3fa8a66397f9d708de0cb151d','2026-11-25T13:52:36.111Z');
INSERT INTO "person" VALUES('45cbf95b-0957-4e79-93da-6c5d3267e68b','Kofi','scrypt:256:8:1$Jc58I8sktPxYPvt1$b8a817cb707f87a1e9e52bd0a5521788c121959785955777061b5fb95d04d7eee6f4b2cb0f8c02c8925423a90548f9edab374658fb10340c2894f3dd8e51ff0b','2026-11-25T13:52:36.137Z');
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
INSERT INTO "plant" VALUES('56597251-1354-4703-8a08-b6b37fb2ce01','7216ddd0-6cc8-4564-8682-191a275e1b2e','Row 1 tree 1','apple','Anna','M.111','grafted','2019-02-10',0,'8768646f-deaa-4e06-9d33-5a1a5d7d363f',0,NULL,'growing','row 1 tree 1 apple anna m.111 row 1','2026-11-25T13:52:36.145Z',15);
INSERT INTO "plant" VALUES('bfe341db-dc68-4c5e-bc5f-e6193a175907','7216ddd0-6cc8-4564-8682-191a275e1b2e','Lemon by the tap','lemon','','','',NULL,0,NULL,1,60.0,'growing','lemon by the tap lemon','2026-11-25T13:52:36.145Z',14);
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
INSERT INTO "setting" VALUES('database_id','db916ba9-8ec6-47ae-92ad-f029c3f7d31d');
INSERT INTO "setting" VALUES('secret_key','9ccc8a647248300166a74cc4813777919cad2deb07efc8b9039a1612d90582cd');
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
INSERT INTO "spot" VALUES('8768646f-deaa-4e06-9d33-5a1a5d7d363f','7216ddd0-6cc8-4564-8682-191a275e1b2e','Row 1',NULL,NULL);
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
INSERT INTO "standing" VALUES('56597251-1354-4703-8a08-b6b37fb2ce01','2026-02-20',1795573800000,'01a21089-dc40-7753-a464-3320edc19e99','','bloom','crop',0);
INSERT INTO "standing" VALUES('56597251-1354-4703-8a08-b6b37fb2ce01','2026-06-01',1795573800000,'01a21089-dc40-75f9-8ca9-a3b1202e7902','01a21089-dc40-7f53-9b3a-b1ebcaac5054','harvest','',1);
INSERT INTO "standing" VALUES('bfe341db-dc68-4c5e-bc5f-e6193a175907','2026-01-14',1795573800000,'01a21089-dc40-762e-9007-d0e3b6a72564','','damage','freeze',0);
CREATE TABLE tag (
        code TEXT NOT NULL PRIMARY KEY,
        plant_id TEXT REFERENCES plant (id),
        state TEXT NOT NULL CHECK (state IN ('hanging', 'retired')),
        made_at TEXT NOT NULL,
        retired_at TEXT
    ) WITHOUT ROWID;
INSERT INTO "tag" VALUES('K229NKZ','56597251-1354-4703-8a08-b6b37fb2ce01','hanging','2026-11-25T13:52:36.150Z',NULL);
INSERT INTO "tag" VALUES('R8CPDHF','bfe341db-dc68-4c5e-bc5f-e6193a175907','hanging','2026-11-25T13:52:36.150Z',NULL);
CREATE TABLE task (
        id TEXT NOT NULL PRIMARY KEY,
        plant_id TEXT NOT NULL REFERENCES plant (id),
        title TEXT NOT NULL,
        opens TEXT NOT NULL,
        closes TEXT,
        made_by TEXT NOT NULL REFERENCES person (id),
        made_at TEXT NOT NULL
    );
INSERT INTO "task" VALUES('8280db86-13ec-42fe-b7f6-d883ed8c8942','56597251-1354-4703-8a08-b6b37fb2ce01','Thin to a hand apart','2026-04-01','2026-04-30','1448fced-e386-4dee-a4fa-0be48bced080','2026-11-25T13:52:36.172Z');
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
INSERT INTO "yard" VALUES('7216ddd0-6cc8-4564-8682-191a275e1b2e','Long Meadow',42.6,-76.4,'America/New_York','us','about 05-12','10-06',0,3);
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
