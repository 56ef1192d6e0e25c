-- What is shown, derived from the journal alone: dropping and making it again loses nothing.
-- Every row depends on which records are there, never on the order they came in.

DROP VIEW IF EXISTS effective_entry;
DROP VIEW IF EXISTS effective_photo;
DROP TABLE IF EXISTS entry;
DROP TABLE IF EXISTS withdrawal;
DROP TABLE IF EXISTS latest;
DROP TABLE IF EXISTS visit;
DROP TABLE IF EXISTS visit_end;
DROP TABLE IF EXISTS running_seen;
DROP TABLE IF EXISTS photo_use;
DROP TABLE IF EXISTS adopted_tag;
DROP TABLE IF EXISTS pack_taken;

-- Entries made and entries put right. `verdict`: 0 not judged, 1 in limits, 2 watch, 3 act, 4 stop pump.
-- `checked` is 0 where the check was passed over.
CREATE TABLE entry (
    record   BLOB    NOT NULL PRIMARY KEY,
    origin   BLOB    NOT NULL,
    seq      INTEGER NOT NULL,
    amends   BLOB,
    visit    BLOB    NOT NULL,
    pump     TEXT    NOT NULL,
    check_id TEXT    NOT NULL,
    seen_ms  INTEGER NOT NULL,
    verdict  INTEGER NOT NULL,
    checked  INTEGER NOT NULL,
    finding  BLOB
) STRICT, WITHOUT ROWID;

CREATE INDEX entry_by_check ON entry (pump, check_id, seen_ms, seq, origin);
CREATE INDEX entry_by_time ON entry (seen_ms, seq, origin);
CREATE INDEX entry_by_visit ON entry (visit, seq);
CREATE INDEX entry_by_amends ON entry (amends) WHERE amends IS NOT NULL;
CREATE INDEX entry_by_finding ON entry (finding, seen_ms, seq, origin) WHERE finding IS NOT NULL;
CREATE INDEX entry_of_finding_by_pump ON entry (pump, finding) WHERE finding IS NOT NULL;

CREATE TABLE withdrawal (
    record BLOB NOT NULL PRIMARY KEY,
    amends BLOB NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX withdrawal_by_amends ON withdrawal (amends);

CREATE VIEW effective_entry AS
SELECT * FROM entry
WHERE NOT EXISTS (SELECT 1 FROM entry AS later WHERE later.amends = entry.record AND later.record <> entry.record)
  AND NOT EXISTS (SELECT 1 FROM withdrawal WHERE withdrawal.amends = entry.record);

-- The latest effective entry of each pump and check in which something was checked.
CREATE TABLE latest (
    pump     TEXT    NOT NULL,
    check_id TEXT    NOT NULL,
    record   BLOB    NOT NULL,
    verdict  INTEGER NOT NULL,
    PRIMARY KEY (pump, check_id)
) STRICT, WITHOUT ROWID;

CREATE TABLE visit (
    record            BLOB    NOT NULL PRIMARY KEY,
    origin            BLOB    NOT NULL,
    seq               INTEGER NOT NULL,
    visit             BLOB    NOT NULL,
    pump              TEXT    NOT NULL,
    opened_ms         INTEGER NOT NULL,
    closed_ms         INTEGER,
    closed_offset_min INTEGER
) STRICT, WITHOUT ROWID;

CREATE INDEX visit_by_id ON visit (visit);
CREATE INDEX visit_by_pump ON visit (pump, opened_ms, seq, origin);
CREATE INDEX visit_by_time ON visit (opened_ms, seq, origin);
CREATE INDEX visit_open ON visit (opened_ms, seq, origin) WHERE closed_ms IS NULL;

CREATE TABLE visit_end (
    record     BLOB    NOT NULL PRIMARY KEY,
    origin     BLOB    NOT NULL,
    seq        INTEGER NOT NULL,
    visit      BLOB    NOT NULL,
    utc_ms     INTEGER NOT NULL,
    offset_min INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX visit_end_by_id ON visit_end (visit, utc_ms, seq, origin);

CREATE TABLE running_seen (
    record BLOB    NOT NULL PRIMARY KEY,
    origin BLOB    NOT NULL,
    seq    INTEGER NOT NULL,
    visit  BLOB    NOT NULL,
    utc_ms INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX running_seen_by_visit ON running_seen (visit, utc_ms, seq, origin);

CREATE TABLE photo_use (
    record   BLOB    NOT NULL PRIMARY KEY,
    origin   BLOB    NOT NULL,
    seq      INTEGER NOT NULL,
    visit    BLOB    NOT NULL,
    pump     TEXT    NOT NULL,
    check_id TEXT,
    photo    BLOB    NOT NULL,
    utc_ms   INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX photo_use_by_visit ON photo_use (visit, check_id);
CREATE INDEX photo_use_by_pump ON photo_use (pump, utc_ms, seq, origin);
CREATE INDEX photo_use_by_photo ON photo_use (photo);

CREATE VIEW effective_photo AS
SELECT * FROM photo_use
WHERE NOT EXISTS (SELECT 1 FROM withdrawal WHERE withdrawal.amends = photo_use.record);

CREATE TABLE adopted_tag (
    record BLOB    NOT NULL PRIMARY KEY,
    origin BLOB    NOT NULL,
    seq    INTEGER NOT NULL,
    code   TEXT    NOT NULL,
    pump   TEXT    NOT NULL,
    utc_ms INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX adopted_tag_by_code ON adopted_tag (code, utc_ms, seq, origin);

CREATE TABLE pack_taken (
    record  BLOB    NOT NULL PRIMARY KEY,
    origin  BLOB    NOT NULL,
    seq     INTEGER NOT NULL,
    plant   TEXT    NOT NULL,
    version INTEGER NOT NULL,
    sha256  BLOB    NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX pack_taken_by_origin ON pack_taken (origin, seq);
