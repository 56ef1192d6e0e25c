-- Version 1: the journal and what is kept beside it. Everything shown is derived from the journal by projections.sql.

CREATE TABLE journal (
    origin     BLOB    NOT NULL CHECK (length(origin) = 16),
    seq        INTEGER NOT NULL CHECK (seq >= 1),
    id         BLOB    NOT NULL UNIQUE CHECK (length(id) = 16),
    kind       TEXT    NOT NULL,
    utc_ms     INTEGER NOT NULL,
    offset_min INTEGER NOT NULL,
    signed_by  TEXT    NOT NULL,
    bytes      BLOB    NOT NULL,
    hash       BLOB    NOT NULL CHECK (length(hash) = 32),
    PRIMARY KEY (origin, seq)
) STRICT;

CREATE TRIGGER journal_keeps_what_is_written BEFORE UPDATE ON journal
BEGIN SELECT RAISE(ABORT, 'records are never changed'); END;

CREATE TRIGGER journal_drops_nothing BEFORE DELETE ON journal
BEGIN SELECT RAISE(ABORT, 'records are never deleted'); END;

-- REPLACE deletes without firing the trigger above where recursive_triggers is off, as in other programs.
CREATE TRIGGER journal_is_not_replaced BEFORE INSERT ON journal
WHEN EXISTS (SELECT 1 FROM journal WHERE origin = NEW.origin AND seq = NEW.seq)
  OR EXISTS (SELECT 1 FROM journal WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'records are never replaced'); END;

-- The names this store has written under, the last one now.
CREATE TABLE own_origin (
    place      INTEGER PRIMARY KEY,
    origin     BLOB    NOT NULL UNIQUE CHECK (length(origin) = 16),
    utc_ms     INTEGER NOT NULL,
    offset_min INTEGER NOT NULL
) STRICT;

CREATE TABLE pack (
    sha256 BLOB NOT NULL PRIMARY KEY CHECK (length(sha256) = 32),
    bytes  BLOB NOT NULL
) STRICT;

CREATE TABLE photo (
    sha256    BLOB    NOT NULL PRIMARY KEY CHECK (length(sha256) = 32),
    width_px  INTEGER NOT NULL,
    height_px INTEGER NOT NULL,
    bytes     BLOB    NOT NULL
) STRICT;

CREATE TABLE receipt (
    receipt    INTEGER PRIMARY KEY,
    sha256     BLOB    NOT NULL UNIQUE CHECK (length(sha256) = 32),
    file_name  TEXT    NOT NULL,
    origin     BLOB    CHECK (length(origin) = 16),
    utc_ms     INTEGER NOT NULL,
    offset_min INTEGER NOT NULL,
    new        INTEGER NOT NULL DEFAULT 0,
    known      INTEGER NOT NULL DEFAULT 0,
    set_aside  INTEGER NOT NULL DEFAULT 0,
    photos     INTEGER NOT NULL DEFAULT 0
) STRICT;

CREATE TABLE arrival (
    origin  BLOB    NOT NULL,
    seq     INTEGER NOT NULL,
    receipt INTEGER NOT NULL REFERENCES receipt (receipt),
    PRIMARY KEY (origin, seq),
    FOREIGN KEY (origin, seq) REFERENCES journal (origin, seq)
) STRICT, WITHOUT ROWID;

CREATE INDEX arrival_by_receipt ON arrival (receipt);

-- Records that came under an origin and sequence, or an id, that another record already has.
CREATE TABLE set_aside (
    hash    BLOB    NOT NULL PRIMARY KEY CHECK (length(hash) = 32),
    origin  BLOB    NOT NULL CHECK (length(origin) = 16),
    seq     INTEGER NOT NULL,
    id      BLOB    NOT NULL CHECK (length(id) = 16),
    why     TEXT    NOT NULL CHECK (why IN ('same_place', 'same_id')),
    receipt INTEGER NOT NULL REFERENCES receipt (receipt),
    bytes   BLOB    NOT NULL
) STRICT;

CREATE TABLE setting (
    name  TEXT NOT NULL PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;
