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
DROP TABLE IF EXISTS deed;
DROP TABLE IF EXISTS walk;
DROP TABLE IF EXISTS turn;
DROP TABLE IF EXISTS remedy;
DROP TABLE IF EXISTS tally;

-- Entries made and entries put right. `verdict`: 0 not judged, 1 in limits, 2 watch, 3 act, 4 stop pump. `judged` is 0
-- where the check was passed over or there was nothing to judge by. `entered`: 0 the check was passed over, 1 a remark in
-- words, 2 anything else. A correction has the root of the entry it corrects,
-- by the corrections in between; any other entry is its own root. `effective` is 0 where the entry was taken back, or
-- where a correction of it, or of a correction of it, was not.
CREATE TABLE entry (
    record      BLOB    NOT NULL PRIMARY KEY,
    origin      BLOB    NOT NULL,
    seq         INTEGER NOT NULL,
    amends      BLOB,
    root_origin BLOB    NOT NULL,
    root_seq    INTEGER NOT NULL,
    visit       BLOB    NOT NULL,
    pump        TEXT    NOT NULL,
    check_id    TEXT    NOT NULL,
    seen_ms     INTEGER NOT NULL,
    entered     INTEGER NOT NULL,
    verdict     INTEGER NOT NULL,
    judged      INTEGER NOT NULL,
    finding     BLOB,
    effective   INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX entry_by_check ON entry (pump, check_id, seen_ms, seq, origin, judged, finding) WHERE effective = 1;
CREATE INDEX entry_by_device ON entry (pump, check_id, root_origin, root_seq, seq, origin)
    WHERE effective = 1 AND judged = 1;
CREATE INDEX entry_by_time ON entry (seen_ms, seq, origin) WHERE effective = 1;
CREATE INDEX entry_by_visit ON entry (visit, effective, verdict);
CREATE INDEX entry_by_amends ON entry (amends) WHERE amends IS NOT NULL;
CREATE INDEX entry_by_finding ON entry (finding, seen_ms, seq, origin) WHERE finding IS NOT NULL;
CREATE INDEX entry_of_finding_by_pump ON entry (pump, finding) WHERE finding IS NOT NULL;

CREATE TABLE withdrawal (
    record BLOB NOT NULL PRIMARY KEY,
    amends BLOB NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX withdrawal_by_amends ON withdrawal (amends);

CREATE VIEW effective_entry AS SELECT * FROM entry WHERE effective = 1;

-- What each check of each pump comes to now. Clocks lie, so the order within a device is its sequence: of each device
-- its last effective entry that was judged, by the root's sequence, and of these the one seen last. An entry that was
-- not judged says nothing of whether the pump is well, so it neither stands here nor ends a finding.
CREATE TABLE latest (
    pump     TEXT    NOT NULL,
    check_id TEXT    NOT NULL,
    record   BLOB    NOT NULL,
    verdict  INTEGER NOT NULL,
    finding  BLOB,
    PRIMARY KEY (pump, check_id)
) STRICT, WITHOUT ROWID;

CREATE INDEX latest_with_finding ON latest (pump, finding) WHERE finding IS NOT NULL;

-- Visits. `running` is what the pump was doing when it was opened: 0 running, 1 standing by, 2 out of service;
-- `last_running` what it was seen doing last, where a later record says so, which is `running_seen`.
CREATE TABLE visit (
    record            BLOB    NOT NULL PRIMARY KEY,
    origin            BLOB    NOT NULL,
    seq               INTEGER NOT NULL,
    visit             BLOB    NOT NULL,
    pump              TEXT    NOT NULL,
    opened_ms         INTEGER NOT NULL,
    running           INTEGER NOT NULL,
    running_seen      BLOB,
    last_running      INTEGER,
    closed_ms         INTEGER,
    closed_offset_min INTEGER
) STRICT, WITHOUT ROWID;

CREATE INDEX visit_by_id ON visit (visit);
CREATE INDEX visit_by_pump ON visit (pump, opened_ms, seq, origin, closed_ms, running, last_running);
CREATE INDEX visit_by_time ON visit (opened_ms, seq, origin);
CREATE INDEX visit_by_device ON visit (origin, seq, opened_ms);
CREATE INDEX visit_open ON visit (origin, seq) WHERE closed_ms IS NULL;

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
    record  BLOB    NOT NULL PRIMARY KEY,
    origin  BLOB    NOT NULL,
    seq     INTEGER NOT NULL,
    visit   BLOB    NOT NULL,
    running INTEGER NOT NULL,
    utc_ms  INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX running_seen_by_visit ON running_seen (visit, origin, seq, utc_ms);

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

-- What was done besides entries. `subject` is the walk or the finding it is about.
CREATE TABLE deed (
    record  BLOB    NOT NULL PRIMARY KEY,
    origin  BLOB    NOT NULL,
    seq     INTEGER NOT NULL,
    kind    TEXT    NOT NULL,
    subject BLOB,
    pump    TEXT,
    utc_ms  INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX deed_by_subject ON deed (subject, kind) WHERE subject IS NOT NULL;
CREATE INDEX deed_by_pump ON deed (pump, utc_ms) WHERE pump IS NOT NULL;
CREATE INDEX deed_by_kind ON deed (kind, utc_ms, subject);
CREATE INDEX deed_by_time ON deed (utc_ms);

-- Rounds begun.
CREATE TABLE walk (
    record BLOB    NOT NULL PRIMARY KEY,
    origin BLOB    NOT NULL,
    seq    INTEGER NOT NULL,
    run    BLOB    NOT NULL,
    round  TEXT    NOT NULL,
    utc_ms INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX walk_by_time ON walk (utc_ms, seq, origin, run, round);

-- Pumps started (`runs` is 1) and stopped.
CREATE TABLE turn (
    record    BLOB    NOT NULL PRIMARY KEY,
    origin    BLOB    NOT NULL,
    seq       INTEGER NOT NULL,
    pump      TEXT    NOT NULL,
    utc_ms    INTEGER NOT NULL,
    turned_ms INTEGER NOT NULL,
    runs      INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX turn_by_pump ON turn (pump, utc_ms, seq, origin, turned_ms, runs);

-- What was put right. `greased` is the bearing that was greased. Of several that bear one identity the first written
-- down counts; `holds` is 0 for the others, and where it was taken back.
CREATE TABLE remedy (
    record  BLOB    NOT NULL PRIMARY KEY,
    origin  BLOB    NOT NULL,
    seq     INTEGER NOT NULL,
    remedy  BLOB    NOT NULL,
    pump    TEXT    NOT NULL,
    greased TEXT,
    done_ms INTEGER NOT NULL,
    utc_ms  INTEGER NOT NULL,
    holds   INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX remedy_by_identity ON remedy (remedy, utc_ms, seq, origin);
CREATE INDEX remedy_by_pump ON remedy (pump, done_ms, utc_ms, seq) WHERE holds = 1;
CREATE INDEX remedy_by_bearing ON remedy (pump, greased, done_ms) WHERE holds = 1 AND greased IS NOT NULL;
CREATE INDEX remedy_by_done ON remedy (done_ms) WHERE holds = 1;
CREATE INDEX remedy_by_time ON remedy (utc_ms) WHERE holds = 1;

-- How many records of each kind a device wrote, in blocks of 1024 sequence numbers.
CREATE TABLE tally (
    origin  BLOB    NOT NULL,
    block   INTEGER NOT NULL,
    kind    TEXT    NOT NULL,
    records INTEGER NOT NULL,
    PRIMARY KEY (origin, block, kind)
) STRICT, WITHOUT ROWID;
