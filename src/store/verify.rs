//! Proving the content: SQLite's own check passes most flipped bits in a record, its hash passes none.

use super::{
    Result, Store,
    codec::{Col, sealed_of},
    open::make_tables,
    project::project,
};
use crate::record::{Hash, Origin, Sealed};
use rusqlite::{Connection, OpenFlags, Row, types::Value};
use std::sync::atomic::{AtomicBool, Ordering};
use uuid::Uuid;

/// Faults that are told one by one; the rest are counted.
const FAULTS_TOLD: usize = 200;
/// Records or photos between two words of progress.
const BETWEEN_WORDS: u64 = 64;

/// Something that is not as it was written.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Fault {
    /// A record.
    #[error("record {seq} of origin {} is not what was written: {why}", origin.0)]
    Record {
        /// Device, as the row says.
        origin: Origin,
        /// Place, as the row says.
        seq: u64,
        /// What does not agree.
        why: String,
    },
    /// Records that are not there.
    #[error("records {from} to {to} of this store's own origin {} are missing", origin.0)]
    Gap {
        /// Device.
        origin: Origin,
        /// First missing.
        from: u64,
        /// Last missing.
        to: u64,
    },
    /// A picture.
    #[error("the bytes of photo {0} are not those of its name")]
    Photo(Hash),
    /// A plant.
    #[error("the bytes of pack {0} are not those of its name")]
    Pack(Hash),
    /// A record set aside.
    #[error("the record set aside with hash {0} is not what came in")]
    SetAside(Hash),
    /// SQLite's pages, indexes or links between tables.
    #[error("the file is damaged: {0}")]
    File(String),
    /// A table, index, view or trigger.
    #[error("{0} is not as this program makes it")]
    Schema(String),
    /// What is shown.
    #[error("the table {0} does not agree with the records; run rebuild to derive it again")]
    Shown(String),
    /// A table that can't be read to its end.
    #[error("the table {table} can't be read to its end: {why}")]
    Unreadable {
        /// Which.
        table: String,
        /// What SQLite says.
        why: String,
    },
}

/// What verifying found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct VerifyReport {
    /// Records looked at.
    pub records: u64,
    /// Photos looked at.
    pub photos: u64,
    /// The faults, up to 200 of them.
    pub faults: Vec<Fault>,
    /// How many more there are.
    pub more_faults: u64,
    /// It was stopped before its end.
    pub cancelled: bool,
}

impl VerifyReport {
    /// Everything was looked at and is as it was written.
    pub fn is_clean(&self) -> bool {
        self.faults.is_empty() && !self.cancelled
    }

    fn add(&mut self, fault: Fault) {
        if self.faults.len() < FAULTS_TOLD {
            self.faults.push(fault);
        } else {
            self.more_faults += 1;
        }
    }
}

/// How far verifying is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct VerifyProgress {
    /// Records and photos looked at.
    pub done: u64,
    /// Records and photos there are.
    pub total: u64,
}

struct Verifier<'a> {
    conn: &'a Connection,
    report: VerifyReport,
    total: u64,
    progress: &'a mut dyn FnMut(VerifyProgress),
    cancel: &'a AtomicBool,
}

impl Store {
    /// Looks at everything: the file's structure, every record's bytes, hash, form and columns, every photo and
    /// pack, and that what is shown is what the records give. Changes nothing.
    ///
    /// # Errors
    /// Only where looking itself fails: no room for the tables derived for comparison, which go to a temporary file.
    pub fn verify(
        &self,
        progress: &mut dyn FnMut(VerifyProgress),
        cancel: &AtomicBool,
    ) -> Result<VerifyReport> {
        let count = |table| {
            let sql = format!("SELECT count(*) FROM {table}");
            let counted = self
                .conn
                .query_row(&sql, [], |row| row.get::<_, Col<u64>>(0));
            counted.map_or(0, |count| count.0)
        };
        let mut verifier = Verifier {
            conn: &self.conn,
            report: VerifyReport::default(),
            total: count("journal") + count("photo"),
            progress,
            cancel,
        };
        verifier.all()?;
        Ok(verifier.report)
    }
}

impl Verifier<'_> {
    fn all(&mut self) -> Result<()> {
        // An empty name is a private database that SQLite keeps in memory while small, in a temporary file when not.
        let scratch = Connection::open_with_flags("", OpenFlags::SQLITE_OPEN_READ_WRITE)?;
        scratch.execute_batch("PRAGMA cache_size = -64000; PRAGMA journal_mode = OFF")?;
        make_tables(&scratch)?;
        self.structure();
        self.schema(&scratch)?;
        scratch.execute_batch("BEGIN")?;
        self.records(&scratch)?;
        if self.report.faults.is_empty() && !self.cancelled() {
            self.shown(&scratch)?;
        }
        self.gaps();
        self.named_bytes("photo", Fault::Photo);
        self.named_bytes("pack", Fault::Pack);
        self.set_aside();
        self.report.cancelled = self.cancelled();
        Ok(())
    }

    fn cancelled(&self) -> bool {
        self.cancel.load(Ordering::Relaxed)
    }

    fn tell(&mut self) {
        let done = self.report.records + self.report.photos;
        if done.is_multiple_of(BETWEEN_WORDS) || done == self.total {
            (self.progress)(VerifyProgress {
                done,
                total: self.total,
            });
        }
    }

    /// Looks at each row until told to stop; rows that can't be read end it with a fault.
    fn each(
        &mut self,
        table: &str,
        sql: &str,
        mut look: impl FnMut(&mut Self, &Row<'_>) -> Result<()>,
    ) {
        let conn = self.conn;
        let looked = (|| -> Result<()> {
            let mut statement = conn.prepare(sql)?;
            let mut rows = statement.query([])?;
            while !self.cancelled()
                && let Some(row) = rows.next()?
            {
                look(self, row)?;
            }
            Ok(())
        })();
        if let Err(error) = looked {
            self.report.add(Fault::Unreadable {
                table: table.to_owned(),
                why: error.to_string(),
            });
        }
    }

    fn structure(&mut self) {
        self.each("(all)", "PRAGMA integrity_check", |this, row| {
            let said: String = row.get(0)?;
            if said != "ok" {
                this.report.add(Fault::File(said));
            }
            Ok(())
        });
        self.each("(all)", "PRAGMA foreign_key_check", |this, row| {
            let (from, to): (String, String) = (row.get(0)?, row.get(2)?);
            let said = format!("a row of {from} names one of {to} that is not there");
            this.report.add(Fault::File(said));
            Ok(())
        });
    }

    fn schema(&mut self, made: &Connection) -> Result<()> {
        const SCHEMA: &str =
            "SELECT type || ' ' || name, tbl_name, sql FROM sqlite_schema ORDER BY 1";
        let mut expected = all_rows(made, SCHEMA)?;
        self.each("sqlite_schema", SCHEMA, |this, row| {
            let found = values(row)?;
            match expected.iter().position(|one| *one == found) {
                Some(at) => {
                    expected.swap_remove(at);
                }
                None => this.report.add(Fault::Schema(name_in(&found))),
            }
            Ok(())
        });
        for missing in expected {
            self.report.add(Fault::Schema(name_in(&missing)));
        }
        Ok(())
    }

    fn records(&mut self, scratch: &Connection) -> Result<()> {
        let mut derived = Ok(());
        self.each(
            "journal",
            "SELECT origin, seq, bytes, hash, id, kind, utc_ms, offset_min, signed_by FROM journal NOT INDEXED",
            |this, row| {
                this.report.records += 1;
                this.tell();
                let sound = sealed_of(row).map_err(|error| error.to_string()).and_then(|sealed| {
                    match differing_column(&sealed, row) {
                        None => Ok(sealed),
                        Some(column) => Err(format!("its column {column} says other than its bytes")),
                    }
                });
                match sound {
                    Ok(sealed) if derived.is_ok() => derived = project(scratch, sealed.record()),
                    Ok(_) => {}
                    Err(why) => this.report.add(Fault::Record {
                        origin: row.get::<_, Col<Origin>>(0)?.0,
                        seq: row.get::<_, Col<u64>>(1)?.0,
                        why,
                    }),
                }
                Ok(())
            },
        );
        derived
    }

    fn shown(&mut self, scratch: &Connection) -> Result<()> {
        for table in super::project::NAMES {
            let sql = format!("SELECT * FROM {table} ORDER BY 1, 2");
            let mut derived = scratch.prepare(&sql)?;
            let mut derived = derived.query([])?;
            let mut differs = false;
            self.each(table, &sql, |_, row| {
                differs |= match derived.next()? {
                    Some(other) => values(other)? != values(row)?,
                    None => true,
                };
                Ok(())
            });
            if !self.cancelled() && (differs || derived.next()?.is_some()) {
                self.report.add(Fault::Shown(table.to_string()));
            }
        }
        Ok(())
    }

    fn gaps(&mut self) {
        self.each(
            "own_origin",
            "SELECT origin, before + 1, seq - 1 FROM (
               SELECT origin, seq, lag(seq, 1, 0) OVER (PARTITION BY origin ORDER BY seq) AS before
               FROM journal WHERE origin IN (SELECT origin FROM own_origin))
             WHERE seq > before + 1",
            |this, row| {
                this.report.add(Fault::Gap {
                    origin: row.get::<_, Col<Origin>>(0)?.0,
                    from: row.get::<_, Col<u64>>(1)?.0,
                    to: row.get::<_, Col<u64>>(2)?.0,
                });
                Ok(())
            },
        );
    }

    fn named_bytes(&mut self, table: &str, fault: fn(Hash) -> Fault) {
        let sql = format!("SELECT sha256, bytes FROM {table}");
        self.each(table, &sql, |this, row| {
            if table == "photo" {
                this.report.photos += 1;
                this.tell();
            }
            let name = row.get::<_, Col<Hash>>(0)?.0;
            if hash_of(row, 1)? != name {
                this.report.add(fault(name));
            }
            Ok(())
        });
    }

    fn set_aside(&mut self) {
        const SQL: &str = "SELECT origin, seq, bytes, hash, id FROM set_aside";
        self.each("set_aside", SQL, |this, row| {
            let sound = sealed_of(row).is_ok_and(|sealed| {
                let record = sealed.record();
                row.get(0)
                    .is_ok_and(|Col::<Origin>(origin)| record.origin == origin)
                    && row.get(1).is_ok_and(|Col::<u64>(seq)| record.seq == seq)
                    && row.get(4).is_ok_and(|Col::<Uuid>(id)| record.id == id)
            });
            if !sound {
                this.report
                    .add(Fault::SetAside(row.get::<_, Col<Hash>>(3)?.0));
            }
            Ok(())
        });
    }
}

/// The first column of the journal that says other than the record's bytes.
fn differing_column(sealed: &Sealed, row: &Row<'_>) -> Option<&'static str> {
    let record = sealed.record();
    [
        (
            "origin",
            row.get(0)
                .is_ok_and(|Col::<Origin>(origin)| origin == record.origin),
        ),
        (
            "seq",
            row.get(1).is_ok_and(|Col::<u64>(seq)| seq == record.seq),
        ),
        (
            "id",
            row.get(4).is_ok_and(|Col::<Uuid>(id)| id == record.id),
        ),
        (
            "kind",
            row.get(5)
                .is_ok_and(|kind: String| kind == record.body.kind()),
        ),
        (
            "utc_ms",
            row.get(6)
                .is_ok_and(|utc_ms: i64| utc_ms == record.at.utc_ms),
        ),
        (
            "offset_min",
            row.get(7)
                .is_ok_and(|offset_min: i16| offset_min == record.at.offset_min),
        ),
        (
            "signed_by",
            row.get(8).is_ok_and(|by: String| by == record.by),
        ),
    ]
    .into_iter()
    .find_map(|(column, agrees)| (!agrees).then_some(column))
}

fn hash_of(row: &Row<'_>, column: usize) -> Result<Hash> {
    let bytes = row.get_ref(column)?.as_bytes();
    Ok(Hash::of(bytes.map_err(rusqlite::Error::from)?))
}

fn values(row: &Row<'_>) -> rusqlite::Result<Vec<Value>> {
    (0..row.as_ref().column_count())
        .map(|column| row.get(column))
        .collect()
}

fn all_rows(conn: &Connection, sql: &str) -> Result<Vec<Vec<Value>>> {
    let mut statement = conn.prepare(sql)?;
    let rows = statement.query_and_then([], values)?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

fn name_in(row: &[Value]) -> String {
    match row.first() {
        Some(Value::Text(name)) => format!("the {name}"),
        _ => "a part of the store".to_owned(),
    }
}
