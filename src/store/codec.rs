//! Between columns and types.

use super::{Result, StoreError};
use crate::{
    check::RunningState,
    judge::Verdict,
    record::{Hash, Origin, Record, Sealed},
};
use rusqlite::{
    Row, ToSql,
    types::{FromSql, FromSqlError, FromSqlResult, ToSqlOutput, ValueRef},
};
use serde::de::DeserializeOwned;
use uuid::Uuid;

/// A value as it stands in a column.
#[derive(Clone, Copy, Debug)]
pub(super) struct Col<T>(pub T);

impl ToSql for Col<Uuid> {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(ToSqlOutput::from(&self.0.as_bytes()[..]))
    }
}

impl ToSql for Col<Origin> {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(ToSqlOutput::from(&self.0.0.as_bytes()[..]))
    }
}

impl ToSql for Col<Hash> {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(ToSqlOutput::from(&self.0.0[..]))
    }
}

impl ToSql for Col<Verdict> {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(ToSqlOutput::from(match self.0 {
            Verdict::NotJudged => 0,
            Verdict::InLimits => 1,
            Verdict::Watch => 2,
            Verdict::Act => 3,
            Verdict::StopPump => 4,
        }))
    }
}

impl ToSql for Col<RunningState> {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(ToSqlOutput::from(match self.0 {
            RunningState::Running => 0,
            RunningState::Standby => 1,
            RunningState::OutOfService => 2,
        }))
    }
}

impl FromSql for Col<RunningState> {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        Ok(Self(match i64::column_result(value)? {
            0 => RunningState::Running,
            1 => RunningState::Standby,
            2 => RunningState::OutOfService,
            other => return Err(FromSqlError::OutOfRange(other)),
        }))
    }
}

impl ToSql for Col<u64> {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        i64::try_from(self.0)
            .map(ToSqlOutput::from)
            .map_err(|error| rusqlite::Error::ToSqlConversionFailure(error.into()))
    }
}

impl FromSql for Col<u64> {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        let number = i64::column_result(value)?;
        u64::try_from(number)
            .map(Self)
            .map_err(|_| FromSqlError::OutOfRange(number))
    }
}

impl FromSql for Col<Uuid> {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        <[u8; 16]>::column_result(value).map(|bytes| Self(Uuid::from_bytes(bytes)))
    }
}

impl FromSql for Col<Origin> {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        Col::<Uuid>::column_result(value).map(|uuid| Self(Origin(uuid.0)))
    }
}

impl FromSql for Col<Hash> {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        <[u8; 32]>::column_result(value).map(|bytes| Self(Hash(bytes)))
    }
}

impl FromSql for Col<Verdict> {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        Ok(Self(match i64::column_result(value)? {
            0 => Verdict::NotJudged,
            1 => Verdict::InLimits,
            2 => Verdict::Watch,
            3 => Verdict::Act,
            4 => Verdict::StopPump,
            other => return Err(FromSqlError::OutOfRange(other)),
        }))
    }
}

/// The record of a row that begins with the journal's `origin, seq, bytes, hash`, refused where its bytes are no longer those of the hash.
pub(super) fn record_of(row: &Row<'_>) -> Result<Record> {
    read_of(row)
}

/// The same, of the record no more than what `T` holds.
pub(super) fn read_of<T: DeserializeOwned>(row: &Row<'_>) -> Result<T> {
    let (bytes, hash) = bytes_and_hash(row)?;
    if Hash::of(bytes) != hash {
        return Err(damaged(row, OTHER_BYTES)?);
    }
    match serde_json::from_slice(bytes) {
        Ok(record) => Ok(record),
        Err(error) => Err(damaged(row, &error.to_string())?),
    }
}

/// The record with its bytes and hash.
pub(super) fn sealed_of(row: &Row<'_>) -> Result<Sealed> {
    let (bytes, hash) = bytes_and_hash(row)?;
    match Sealed::from_bytes(bytes.to_owned()) {
        Ok(sealed) if sealed.hash() == hash => Ok(sealed),
        Ok(_) => Err(damaged(row, OTHER_BYTES)?),
        Err(error) => Err(damaged(row, &error.to_string())?),
    }
}

const OTHER_BYTES: &str = "its bytes are not those of its hash";

fn bytes_and_hash<'r>(row: &'r Row<'_>) -> Result<(&'r [u8], Hash)> {
    let bytes = row
        .get_ref(2)?
        .as_blob()
        .map_err(|error| StoreError::Damaged(error.to_string()))?;
    Ok((bytes, row.get::<_, Col<Hash>>(3)?.0))
}

fn damaged(row: &Row<'_>, why: &str) -> Result<StoreError> {
    Ok(StoreError::DamagedRecord {
        origin: row.get::<_, Col<Origin>>(0)?.0,
        seq: row.get::<_, Col<u64>>(1)?.0,
        why: why.to_owned(),
    })
}
