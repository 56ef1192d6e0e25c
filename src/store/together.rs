//! Several batches kept together or not at all.

use super::{Result, Store, StoreError};
use crate::record::Origin;
use rusqlite::{Connection, Savepoint, Transaction, TransactionBehavior};
use std::ops::Deref;

/// A transaction, or a part of the one that is open; dropped without [`Part::commit`], nothing of it is kept.
#[derive(Debug)]
pub(super) enum Part<'s> {
    Whole(Transaction<'s>),
    Inner(Savepoint<'s>),
}

impl Part<'_> {
    pub(super) fn commit(self) -> Result<()> {
        match self {
            Part::Whole(transaction) => transaction.commit()?,
            Part::Inner(savepoint) => savepoint.commit()?,
        }
        Ok(())
    }
}

impl Deref for Part<'_> {
    type Target = Connection;

    fn deref(&self) -> &Connection {
        match self {
            Part::Whole(transaction) => transaction,
            Part::Inner(savepoint) => savepoint,
        }
    }
}

/// Several batches that are going on; see [`Store::begin_together`].
#[derive(Debug)]
#[must_use = "what is begun must be ended"]
pub struct Together {
    origin: Origin,
    is_backup: bool,
}

impl Store {
    /// Begins what one batch writes.
    pub(super) fn part(&mut self) -> Result<Part<'_>> {
        self.still_open()?;
        Ok(if self.together > 0 {
            Part::Inner(self.conn.savepoint()?)
        } else {
            Part::Whole(
                self.conn
                    .transaction_with_behavior(TransactionBehavior::Immediate)?,
            )
        })
    }

    /// Begins several batches that are kept together or not at all; one may run inside another. What is begun must be
    /// ended by [`Store::end_together`], the inner one first.
    ///
    /// # Errors
    /// `BatchFailed` where SQLite gave the outer one up, `DiskFull`, `NotWritable`.
    pub fn begin_together(&mut self) -> Result<Together> {
        self.still_open()?;
        self.conn.execute_batch(if self.together > 0 {
            "SAVEPOINT together"
        } else {
            "BEGIN IMMEDIATE"
        })?;
        self.together += 1;
        Ok(Together {
            origin: self.origin,
            is_backup: self.is_backup,
        })
    }

    /// Keeps all that was written since `begun`, or nothing.
    ///
    /// # Errors
    /// `BatchFailed` where SQLite gave the transaction up meanwhile, `DiskFull`; then nothing is kept.
    pub fn end_together(&mut self, begun: Together, keep: bool) -> Result<()> {
        let open = self.still_open();
        self.together = self.together.saturating_sub(1);
        let ended = open.and_then(|()| self.end(keep));
        if !keep || ended.is_err() {
            self.origin = begun.origin;
            self.is_backup = begun.is_backup;
        }
        ended
    }

    fn end(&self, keep: bool) -> Result<()> {
        let inner = self.together > 0;
        let ended = self.conn.execute_batch(match (inner, keep) {
            (true, true) => "RELEASE together",
            (true, false) => "ROLLBACK TO together; RELEASE together",
            (false, true) => "COMMIT",
            (false, false) => "ROLLBACK",
        });
        if ended.is_err() && !inner && !self.conn.is_autocommit() {
            self.conn.execute_batch("ROLLBACK")?;
        }
        Ok(ended?)
    }

    /// A full disk can make SQLite give up a whole transaction; what came after would then be kept by itself.
    fn still_open(&self) -> Result<()> {
        if self.together > 0 && self.conn.is_autocommit() {
            return Err(StoreError::BatchFailed);
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        record::{Body, Stamp, VisitClosed},
        sys::{StillWorld, World},
    };

    const START: Stamp = Stamp {
        utc_ms: 0,
        offset_min: 0,
    };

    fn append(store: &mut Store, world: &mut StillWorld) -> Result<u64> {
        let visit = world.new_id();
        let mut batch = store.write()?;
        let sealed = batch.append(world, "T. Tester", Body::VisitClosed(VisitClosed { visit }))?;
        batch.commit()?;
        Ok(sealed.record().seq)
    }

    fn kept(store: &Store) -> usize {
        let records = store.read().records_of(store.origin, 1, u32::MAX);
        records.unwrap().len()
    }

    #[test]
    fn batches_that_go_together_are_kept_together_or_not_at_all() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("a.lantern");
        let mut world = StillWorld::at(START, 1);
        let mut store = Store::create(&path, &mut world).unwrap();
        for keep in [false, true] {
            let begun = store.begin_together().unwrap();
            append(&mut store, &mut world).unwrap();
            append(&mut store, &mut world).unwrap();
            assert_eq!(kept(&store), 2, "they are seen while it goes on");
            store.end_together(begun, keep).unwrap();
            assert_eq!(kept(&store), if keep { 2 } else { 0 });
        }
        drop(store);
        assert_eq!(kept(&Store::open(&path).unwrap()), 2);
    }

    #[test]
    fn what_is_given_up_inside_leaves_what_is_outside() {
        let dir = tempfile::tempdir().unwrap();
        let mut world = StillWorld::at(START, 1);
        let mut store = Store::create(&dir.path().join("a.lantern"), &mut world).unwrap();
        let outer = store.begin_together().unwrap();
        append(&mut store, &mut world).unwrap();
        let inner = store.begin_together().unwrap();
        append(&mut store, &mut world).unwrap();
        store.end_together(inner, false).unwrap();
        assert_eq!(append(&mut store, &mut world).unwrap(), 2);
        store.end_together(outer, true).unwrap();
        assert_eq!(kept(&store), 2);
    }

    #[test]
    fn a_new_origin_given_up_is_not_written_under() {
        let dir = tempfile::tempdir().unwrap();
        let mut world = StillWorld::at(START, 1);
        let mut store = Store::create(&dir.path().join("a.lantern"), &mut world).unwrap();
        let before = store.origin();
        let begun = store.begin_together().unwrap();
        assert_ne!(store.new_origin(&mut world).unwrap(), before);
        store.end_together(begun, false).unwrap();
        assert_eq!(store.origin(), before);
        append(&mut store, &mut world).unwrap();
        assert_eq!(kept(&store), 1);
    }

    #[test]
    fn nothing_goes_on_alone_after_sqlite_gave_the_transaction_up() {
        let dir = tempfile::tempdir().unwrap();
        let mut world = StillWorld::at(START, 1);
        let mut store = Store::create(&dir.path().join("a.lantern"), &mut world).unwrap();
        let begun = store.begin_together().unwrap();
        append(&mut store, &mut world).unwrap();
        store.conn.execute_batch("ROLLBACK").unwrap();
        assert!(matches!(
            append(&mut store, &mut world),
            Err(StoreError::BatchFailed)
        ));
        assert!(matches!(
            store.end_together(begun, true),
            Err(StoreError::BatchFailed)
        ));
        assert_eq!(kept(&store), 0);
        assert_eq!(append(&mut store, &mut world).unwrap(), 1);
    }
}
