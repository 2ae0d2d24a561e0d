//! The list of sessions, and the passes that open them.

use samebreath_core::live::{DeskRole, SeatId};
use samebreath_core::plan::group::GroupId;
use samebreath_core::time::EpochMs;
use uuid::Uuid;

use crate::ledger::SessionId;
use crate::{Sqlite, StoreError};

/// A session's entry in the list of sessions.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SessionEntry {
    /// Its id.
    pub id: SessionId,
    /// The code participants join by: 8 characters without a separator.
    pub code: String,
    /// What it is called.
    pub title: String,
    /// Whether its participants are rehearsed.
    pub rehearsal: bool,
    /// When it was made.
    pub created_at: EpochMs,
    /// The group it is held for.
    pub group: Option<GroupId>,
    /// When it was over.
    pub ended_at: Option<EpochMs>,
    /// The request that made it: the same one again makes no second session.
    pub request: Option<Uuid>,
}

/// What a pass opens.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Role {
    /// A desk.
    Desk(DeskRole),
    /// A participant's seat.
    Seat(SeatId),
    /// The wall.
    Wall,
}

/// A pass found by its token's hash.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pass {
    /// Of which session.
    pub session: SessionId,
    /// What it opens.
    pub role: Role,
}

impl Sqlite {
    /// Adds a session to the list.
    ///
    /// # Errors
    /// When the database refuses, or the code is taken.
    pub async fn add_session(&self, entry: &SessionEntry) -> Result<(), StoreError> {
        sqlx::query(
            "insert into session (id, code, title, rehearsal, created_at_ms, for_group, request) values ($1, $2, $3, $4, $5, $6, $7)",
        )
        .bind(entry.id.to_string())
        .bind(&entry.code)
        .bind(&entry.title)
        .bind(i64::from(entry.rehearsal))
        .bind(entry.created_at.0)
        .bind(entry.group.map(|group| group.0.to_string()))
        .bind(entry.request.map(|request| request.to_string()))
        .execute(&self.pool)
        .await?;
        Ok(())
    }

    /// The session with this id.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn session(&self, id: SessionId) -> Result<Option<SessionEntry>, StoreError> {
        let found: Option<Row> = sqlx::query_as(
            "select id, code, title, rehearsal, created_at_ms, for_group, ended_at_ms, request from session where id = $1",
        )
        .bind(id.to_string())
        .fetch_optional(&self.pool)
        .await?;
        Ok(found.and_then(entry))
    }

    /// The session with this code.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn session_by_code(&self, code: &str) -> Result<Option<SessionEntry>, StoreError> {
        let found: Option<Row> = sqlx::query_as(
            "select id, code, title, rehearsal, created_at_ms, for_group, ended_at_ms, request from session where code = $1",
        )
        .bind(code)
        .fetch_optional(&self.pool)
        .await?;
        Ok(found.and_then(entry))
    }

    /// The session that this request made.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn session_by_request(&self, request: Uuid) -> Result<Option<SessionEntry>, StoreError> {
        let found: Option<Row> = sqlx::query_as(
            "select id, code, title, rehearsal, created_at_ms, for_group, ended_at_ms, request from session where request = $1",
        )
        .bind(request.to_string())
        .fetch_optional(&self.pool)
        .await?;
        Ok(found.and_then(entry))
    }

    /// The sessions that are not over, newest first.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn unfinished_sessions(&self) -> Result<Vec<SessionEntry>, StoreError> {
        let rows: Vec<Row> = sqlx::query_as(
            "select id, code, title, rehearsal, created_at_ms, for_group, ended_at_ms, request from session where ended_at_ms is null order by created_at_ms desc, id",
        )
        .fetch_all(&self.pool)
        .await?;
        Ok(rows.into_iter().filter_map(entry).collect())
    }

    /// When the newest line of a session was written, by the clock of its server.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn last_at(&self, id: SessionId) -> Result<Option<EpochMs>, StoreError> {
        let found: Option<i64> =
            sqlx::query_scalar("select at_ms from event where session = $1 order by seq desc limit 1")
                .bind(id.to_string())
                .fetch_optional(&self.pool)
                .await?;
        Ok(found.map(EpochMs))
    }

    /// All sessions, newest first.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn sessions(&self) -> Result<Vec<SessionEntry>, StoreError> {
        let rows: Vec<Row> = sqlx::query_as(
            "select id, code, title, rehearsal, created_at_ms, for_group, ended_at_ms, request from session order by created_at_ms desc, id",
        )
        .fetch_all(&self.pool)
        .await?;
        Ok(rows.into_iter().filter_map(entry).collect())
    }

    /// The classes held for a group, newest first; rehearsals are none.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn sessions_of(&self, group: GroupId) -> Result<Vec<SessionEntry>, StoreError> {
        let rows: Vec<Row> = sqlx::query_as(
            "select id, code, title, rehearsal, created_at_ms, for_group, ended_at_ms, request from session where for_group = $1 and rehearsal = 0 order by created_at_ms desc, id",
        )
        .bind(group.0.to_string())
        .fetch_all(&self.pool)
        .await?;
        Ok(rows.into_iter().filter_map(entry).collect())
    }

    /// Keeps a pass by the hash of its token.
    ///
    /// # Errors
    /// When the database refuses, or the hash is taken.
    pub async fn add_pass(
        &self,
        hash: &str,
        pass: Pass,
        use_: Use,
        expires_at: EpochMs,
    ) -> Result<(), StoreError> {
        let (role, seat) = pass.role.columns();
        sqlx::query(
            "insert into pass (hash, session, role, seat, once, expires_at_ms) values ($1, $2, $3, $4, $5, $6)",
        )
        .bind(hash)
        .bind(pass.session.to_string())
        .bind(role)
        .bind(seat)
        .bind(i64::from(use_ == Use::Once))
        .bind(expires_at.0)
        .execute(&self.pool)
        .await?;
        Ok(())
    }

    /// What a browser's pass opens; nothing when it expired, or is a link that must be used first.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn pass(&self, hash: &str, now: EpochMs) -> Result<Option<Pass>, StoreError> {
        let found: Option<PassRow> = sqlx::query_as(
            "select session, role, seat from pass where hash = $1 and once = 0 and expires_at_ms > $2",
        )
        .bind(hash)
        .bind(now.0)
        .fetch_optional(&self.pool)
        .await?;
        Ok(found.and_then(pass))
    }

    /// Uses a link. One that works once opens for the first request only, also when two use it together; the same
    /// request may come again, since its answer may have been lost.
    ///
    /// # Errors
    /// When the database refuses.
    pub async fn use_link(
        &self,
        hash: &str,
        request: Uuid,
        now: EpochMs,
    ) -> Result<Option<Pass>, StoreError> {
        let once: Option<PassRow> = sqlx::query_as(
            "update pass set used_by = $3 where hash = $1 and once = 1 and expires_at_ms > $2 \
             and (used_by is null or used_by = $3) returning session, role, seat",
        )
        .bind(hash)
        .bind(now.0)
        .bind(request.to_string())
        .fetch_optional(&self.pool)
        .await?;
        match once {
            Some(row) => Ok(pass(row)),
            None => self.pass(hash, now).await,
        }
    }
}

/// How often a pass works.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Use {
    /// Until it expires.
    Always,
    /// The first time.
    Once,
}

type Row = (String, String, String, i64, i64, Option<String>, Option<i64>, Option<String>);

fn entry(
    (id, code, title, rehearsal, created_at_ms, group, ended_at_ms, request): Row,
) -> Option<SessionEntry> {
    let id = SessionId(Uuid::parse_str(&id).ok()?);
    let group = group.and_then(|group| Uuid::parse_str(&group).ok()).map(GroupId);
    let (rehearsal, created_at) = (rehearsal != 0, EpochMs(created_at_ms));
    let (ended_at, request) = (ended_at_ms.map(EpochMs), request.and_then(|id| Uuid::parse_str(&id).ok()));
    Some(SessionEntry { id, code, title, rehearsal, created_at, group, ended_at, request })
}

type PassRow = (String, String, Option<i64>);

fn pass((session, role, seat): PassRow) -> Option<Pass> {
    let session = SessionId(Uuid::parse_str(&session).ok()?);
    let role = match (role.as_str(), seat) {
        ("facilitator", None) => Role::Desk(DeskRole::Facilitator),
        ("helper", None) => Role::Desk(DeskRole::Helper),
        ("wall", None) => Role::Wall,
        ("seat", Some(seat)) => Role::Seat(SeatId(u32::try_from(seat).ok()?)),
        _ => return None,
    };
    Some(Pass { session, role })
}

impl Role {
    fn columns(&self) -> (&'static str, Option<i64>) {
        match self {
            Self::Desk(DeskRole::Facilitator) => ("facilitator", None),
            Self::Desk(DeskRole::Helper) => ("helper", None),
            Self::Wall => ("wall", None),
            Self::Seat(seat) => ("seat", Some(i64::from(seat.0))),
        }
    }
}
