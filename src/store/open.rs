//! Making and opening a store's file.

use super::{Result, Store, StoreError, codec::Col, project};
use crate::{
    record::{Origin, Stamp},
    say,
    sys::{FileLock, World},
};
use rusqlite::{Connection, ErrorCode, OpenFlags, TransactionBehavior, config::DbConfig, params};
use std::path::{Path, PathBuf};
use uuid::Uuid;

/// "LanR": the file is a store of this program.
const APPLICATION_ID: i64 = 0x4C61_6E52;

/// The steps from an empty file to the present version; the number of steps done is the version.
const MIGRATIONS: &[&str] = &[
    include_str!("sql/001.sql"),
    include_str!("sql/002.sql"),
    include_str!("sql/003.sql"),
];

/// The version this program writes.
pub(super) fn present_version() -> i64 {
    i64::try_from(MIGRATIONS.len()).unwrap_or(i64::MAX)
}

/// SQLite before 3.51.3 can lose data in WAL mode when a checkpoint and a writer meet.
const OLDEST_SQLITE: i32 = 3_051_003;

/// Name of the setting that a backup carries until it has an origin of its own.
pub(super) const IS_BACKUP: &str = "is_backup";

impl Store {
    /// Makes a new store.
    ///
    /// # Errors
    /// `Exists` where there is a file already, `InUse`, `NotWritable`, `Io`.
    pub fn create(path: &Path, world: &mut dyn World) -> Result<Self> {
        let lock = lock(path)?;
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE
            | OpenFlags::SQLITE_OPEN_CREATE
            | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let mut conn = match connect(path, flags) {
            Err(StoreError::NotAStore(path)) => return Err(StoreError::Exists(path)),
            connected => connected?,
        };
        if !is_blank(&conn)? {
            return Err(StoreError::Exists(path.to_owned()));
        }
        use_wal(&conn)?;
        migrate(&mut conn, 0, Some((Origin(world.new_id()), world.now())))?;
        Self::opened(conn, path, lock)
    }

    /// Opens a store, bringing one of an older version up to this one.
    ///
    /// # Errors
    /// `Missing`, `InUse`, `NotAStore`, `Newer`, `Damaged`, `NotWritable`, `DiskFull`, `Io`.
    pub fn open(path: &Path) -> Result<Self> {
        if !path.is_file() {
            return Err(StoreError::Missing(path.to_owned()));
        }
        let lock = lock(path)?;
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let mut conn = connect(path, flags)?;
        let version = version_of(&conn, path)?;
        use_wal(&conn)?;
        if version < present_version() {
            migrate(&mut conn, version, None)?;
        }
        Self::opened(conn, path, lock)
    }

    /// Opens the store, or makes one where there is none; a backup gets an origin of its own.
    ///
    /// # Errors
    /// As [`Store::create`] and [`Store::open`].
    pub fn open_or_create(path: &Path, world: &mut dyn World) -> Result<Self> {
        let blank = !path.exists() || {
            let _lock = lock(path)?;
            is_blank(&connect(path, OpenFlags::SQLITE_OPEN_READ_WRITE)?)?
        };
        if blank {
            return Self::create(path, world);
        }
        let mut store = Self::open(path)?;
        if store.is_backup {
            store.new_origin(world)?;
        }
        Ok(store)
    }

    fn opened(conn: Connection, path: &Path, lock: FileLock) -> Result<Self> {
        let origin = own_origin(&conn)?;
        let is_backup = super::read::setting(&conn, IS_BACKUP)?.is_some();
        Ok(Self {
            conn,
            origin,
            is_backup,
            together: 0,
            path: path.to_owned(),
            _lock: lock,
        })
    }

    /// Takes a new origin: a restored or cloned store must not write under the name of the one it was made from.
    ///
    /// # Errors
    /// `DiskFull` and other trouble with the disk.
    pub fn new_origin(&mut self, world: &mut dyn World) -> Result<Origin> {
        let origin = Origin(world.new_id());
        let part = self.part()?;
        add_own_origin(&part, origin, world.now())?;
        part.execute("DELETE FROM setting WHERE name = ?1", [IS_BACKUP])?;
        part.commit()?;
        self.origin = origin;
        self.is_backup = false;
        Ok(origin)
    }
}

fn lock(path: &Path) -> Result<FileLock> {
    let mut name = path.as_os_str().to_owned();
    name.push(".lock");
    let beside = PathBuf::from(name);
    match FileLock::take(&beside) {
        Ok(Some(lock)) => Ok(lock),
        Ok(None) => Err(StoreError::InUse),
        Err(source) => Err(StoreError::Io {
            what: say!(
                "{file} can't be made; check that the folder is there and may be written to",
                file = beside.display()
            ),
            source,
        }),
    }
}

fn connect(path: &Path, flags: OpenFlags) -> Result<Connection> {
    if rusqlite::version_number() < OLDEST_SQLITE {
        return Err(StoreError::OldSqlite(rusqlite::version().to_owned()));
    }
    let conn = Connection::open_with_flags(path, flags)?;
    match harden(&conn) {
        Err(error) if error.sqlite_error_code() == Some(ErrorCode::NotADatabase) => {
            Err(StoreError::NotAStore(path.to_owned()))
        }
        hardened => Ok(hardened.map(|()| conn)?),
    }
}

/// Settings of the connection, not of the file; the last ones read its first page.
fn harden(conn: &Connection) -> rusqlite::Result<()> {
    for (what, on) in [
        (DbConfig::SQLITE_DBCONFIG_DEFENSIVE, true),
        (DbConfig::SQLITE_DBCONFIG_TRUSTED_SCHEMA, false),
        (DbConfig::SQLITE_DBCONFIG_DQS_DDL, false),
        (DbConfig::SQLITE_DBCONFIG_DQS_DML, false),
        (DbConfig::SQLITE_DBCONFIG_ENABLE_FKEY, true),
        (DbConfig::SQLITE_DBCONFIG_ENABLE_TRIGGER, true),
        // The plan is made once for a statement, not again for each value put in.
        (DbConfig::SQLITE_DBCONFIG_ENABLE_QPSG, true),
    ] {
        conn.set_db_config(what, on)?;
    }
    conn.set_prepared_statement_cache_capacity(64);
    conn.execute_batch(
        "PRAGMA locking_mode = EXCLUSIVE;
         PRAGMA recursive_triggers = ON;
         PRAGMA cell_size_check = ON;
         PRAGMA synchronous = FULL;
         PRAGMA busy_timeout = 200;
         PRAGMA cache_size = -32000;",
    )?;
    Ok(())
}

fn use_wal(conn: &Connection) -> Result<()> {
    let mode: String = conn.query_row("PRAGMA journal_mode = WAL", [], |row| row.get(0))?;
    if mode == "wal" {
        Ok(())
    } else {
        Err(StoreError::NotWritable(say!(
            "its file system allows only the journal mode {mode}, not wal",
            mode
        )))
    }
}

fn pragma(conn: &Connection, name: &str) -> rusqlite::Result<i64> {
    conn.query_row(&format!("PRAGMA {name}"), [], |row| row.get(0))
}

/// No page was written yet: a new file, or one left by a process that died while making it.
fn is_blank(conn: &Connection) -> Result<bool> {
    let parts: i64 = conn.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    Ok(parts == 0 && pragma(conn, "application_id")? == 0)
}

fn version_of(conn: &Connection, path: &Path) -> Result<i64> {
    if pragma(conn, "application_id")? != APPLICATION_ID {
        return Err(StoreError::NotAStore(path.to_owned()));
    }
    let found = pragma(conn, "user_version")?;
    let known = present_version();
    if found > known {
        return Err(StoreError::Newer { found, known });
    }
    Ok(found)
}

/// Brings a store from one version to the present one, all or nothing; a new one gets its first origin.
fn migrate(conn: &mut Connection, from: i64, first_origin: Option<(Origin, Stamp)>) -> Result<()> {
    let transaction = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let done = usize::try_from(from).unwrap_or(0);
    for step in MIGRATIONS.iter().skip(done) {
        transaction.execute_batch(step)?;
    }
    project::rebuild(&transaction)?;
    if let Some((origin, at)) = first_origin {
        add_own_origin(&transaction, origin, at)?;
    }
    transaction.pragma_update(None, "application_id", APPLICATION_ID)?;
    transaction.pragma_update(None, "user_version", present_version())?;
    transaction.commit()?;
    Ok(())
}

/// The tables of the present version, empty.
pub(super) fn make_tables(conn: &Connection) -> Result<()> {
    for step in MIGRATIONS.iter().chain([&project::TABLES]) {
        conn.execute_batch(step)?;
    }
    Ok(())
}

fn add_own_origin(conn: &Connection, origin: Origin, at: Stamp) -> Result<()> {
    conn.execute(
        "INSERT INTO own_origin (origin, utc_ms, offset_min) VALUES (?1, ?2, ?3)",
        params![Col(origin), at.utc_ms, at.offset_min],
    )?;
    Ok(())
}

fn own_origin(conn: &Connection) -> Result<Origin> {
    let origin: Col<Uuid> = conn.query_row(
        "SELECT origin FROM own_origin ORDER BY place DESC LIMIT 1",
        [],
        |row| row.get(0),
    )?;
    Ok(Origin(origin.0))
}
