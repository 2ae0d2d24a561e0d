//! The lasting links of people, in SQLite.

use async_trait::async_trait;
use samebreath_core::people::link::{LinkId, Medium};
use samebreath_core::people::person::PersonId;
use samebreath_core::plan::group::GroupId;
use samebreath_core::staff::account::AccountId;
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::Date;
use sqlx::FromRow;
use uuid::Uuid;

use crate::StoreError;
use crate::own_links::{LinkOwner, OwnDevice, OwnLink, OwnLinks, Word};
use crate::sqlite::Sqlite;

/// A query for links.
macro_rules! links {
    ($where:literal) => {
        concat!(
            "select own_link.*, (select count(*) from own_device where link = own_link.id) as devices from own_link ",
            $where
        )
    };
}

#[async_trait]
impl OwnLinks for Sqlite {
    async fn add_own_link(&self, hash: &str, link: &OwnLink) -> Result<bool, StoreError> {
        let (person, account) = columns(link.owner);
        let added = sqlx::query(
            "insert into own_link (id, hash, person, account, medium, created_at_ms) values ($1, $2, $3, $4, $5, $6) \
             on conflict (id) do update set hash = excluded.hash \
             where own_link.used_at_ms is null and own_link.person is not distinct from excluded.person \
             and own_link.account is not distinct from excluded.account and own_link.medium = excluded.medium",
        )
        .bind(link.id.0.to_string())
        .bind(hash)
        .bind(person)
        .bind(account)
        .bind(medium_name(link.medium))
        .bind(link.created_at.0)
        .execute(&self.pool)
        .await?;
        Ok(added.rows_affected() == 1)
    }

    async fn renew_own_link(&self, hash: &str, id: LinkId) -> Result<bool, StoreError> {
        let renewed = sqlx::query("update own_link set hash = $2 where id = $1 and used_at_ms is null")
            .bind(id.0.to_string())
            .bind(hash)
            .execute(&self.pool)
            .await?;
        Ok(renewed.rows_affected() == 1)
    }

    async fn own_link(&self, hash: &str) -> Result<Option<OwnLink>, StoreError> {
        let row: Option<LinkRow> =
            sqlx::query_as(links!("where hash = $1")).bind(hash).fetch_optional(&self.pool).await?;
        Ok(row.and_then(link))
    }

    async fn own_links_of(&self, owner: LinkOwner) -> Result<Vec<OwnLink>, StoreError> {
        let (person, account) = columns(owner);
        let rows: Vec<LinkRow> =
            sqlx::query_as(links!("where person = $1 or account = $2 order by created_at_ms, id"))
                .bind(person)
                .bind(account)
                .fetch_all(&self.pool)
                .await?;
        Ok(rows.into_iter().filter_map(link).collect())
    }

    async fn has_own_link(&self, id: LinkId) -> Result<bool, StoreError> {
        let found: Option<i64> = sqlx::query_scalar("select 1 from own_link where id = $1")
            .bind(id.0.to_string())
            .fetch_optional(&self.pool)
            .await?;
        Ok(found.is_some())
    }

    async fn note_own_link(&self, id: LinkId, at: EpochMs) -> Result<(), StoreError> {
        sqlx::query("update own_link set used_at_ms = $2 where id = $1")
            .bind(id.0.to_string())
            .bind(at.0)
            .execute(&self.pool)
            .await?;
        Ok(())
    }

    async fn end_own_link(&self, id: LinkId, owner: LinkOwner) -> Result<Option<Vec<Uuid>>, StoreError> {
        let (person, account) = columns(owner);
        let id = id.0.to_string();
        let mut all = self.pool.begin().await?;
        // It begins by writing: a transaction that began by reading could not go on after another one's commit.
        let devices: Vec<String> = sqlx::query_scalar(
            "delete from own_device where link in (select id from own_link where id = $1 and (person = $2 or account = $3)) \
             returning id",
        )
        .bind(&id)
        .bind(&person)
        .bind(&account)
        .fetch_all(&mut *all)
        .await?;
        for device in &devices {
            sqlx::query("delete from pass where via = $1").bind(device).execute(&mut *all).await?;
        }
        let ended = sqlx::query("delete from own_link where id = $1 and (person = $2 or account = $3)")
            .bind(&id)
            .bind(&person)
            .bind(&account)
            .execute(&mut *all)
            .await?;
        all.commit().await?;
        let ids = devices.iter().filter_map(|id| Uuid::parse_str(id).ok()).collect();
        Ok((ended.rows_affected() == 1).then_some(ids))
    }

    async fn add_own_device(&self, hash: &str, device: &OwnDevice) -> Result<bool, StoreError> {
        let mut all = self.pool.begin().await?;
        let added = sqlx::query(
            "insert into own_device (id, hash, link, shared, later, created_at_ms, seen_at_ms) \
             select $1, $2, id, $4, used_at_ms is not null, $5, $6 from own_link where id = $3 \
             on conflict (id) do update set hash = excluded.hash where own_device.link = excluded.link",
        )
        .bind(device.id.to_string())
        .bind(hash)
        .bind(device.link.0.to_string())
        .bind(i64::from(device.shared))
        .bind(device.created_at.0)
        .bind(device.seen_at.0)
        .execute(&mut *all)
        .await?;
        if added.rows_affected() == 0 {
            return Ok(false);
        }
        sqlx::query("update own_link set used_at_ms = $2 where id = $1")
            .bind(device.link.0.to_string())
            .bind(device.seen_at.0)
            .execute(&mut *all)
            .await?;
        all.commit().await?;
        Ok(true)
    }

    async fn own_device(&self, hash: &str) -> Result<Option<(OwnDevice, OwnLink)>, StoreError> {
        let row: Option<DeviceRow> = sqlx::query_as("select * from own_device where hash = $1")
            .bind(hash)
            .fetch_optional(&self.pool)
            .await?;
        let Some(device) = row.and_then(device) else { return Ok(None) };
        let row: Option<LinkRow> = sqlx::query_as(links!("where id = $1"))
            .bind(device.link.0.to_string())
            .fetch_optional(&self.pool)
            .await?;
        Ok(row.and_then(link).map(|link| (device, link)))
    }

    async fn own_device_by_id(&self, id: Uuid) -> Result<Option<OwnDevice>, StoreError> {
        let row: Option<DeviceRow> = sqlx::query_as("select * from own_device where id = $1")
            .bind(id.to_string())
            .fetch_optional(&self.pool)
            .await?;
        Ok(row.and_then(device))
    }

    async fn note_own_device(&self, device: &OwnDevice, at: EpochMs) -> Result<(), StoreError> {
        sqlx::query("update own_device set seen_at_ms = $2 where id = $1")
            .bind(device.id.to_string())
            .bind(at.0)
            .execute(&self.pool)
            .await?;
        self.note_own_link(device.link, at).await
    }

    async fn end_own_device(&self, id: Uuid) -> Result<(), StoreError> {
        let id = id.to_string();
        let mut all = self.pool.begin().await?;
        sqlx::query("delete from pass where via = $1").bind(&id).execute(&mut *all).await?;
        sqlx::query("delete from own_device where id = $1").bind(&id).execute(&mut *all).await?;
        all.commit().await?;
        Ok(())
    }

    async fn end_forgotten_devices(&self, before: EpochMs) -> Result<Vec<Uuid>, StoreError> {
        let mut all = self.pool.begin().await?;
        let devices: Vec<String> =
            sqlx::query_scalar("delete from own_device where shared = 1 and seen_at_ms <= $1 returning id")
                .bind(before.0)
                .fetch_all(&mut *all)
                .await?;
        for device in &devices {
            sqlx::query("delete from pass where via = $1").bind(device).execute(&mut *all).await?;
        }
        all.commit().await?;
        Ok(devices.iter().filter_map(|id| Uuid::parse_str(id).ok()).collect())
    }

    async fn send_word(&self, word: &Word, comes: bool, at: EpochMs) -> Result<(), StoreError> {
        let text = if comes {
            "delete from sent_word where person = $1 and for_group = $2 and of_day = $3"
        } else {
            "insert into sent_word (person, for_group, of_day, at_ms) values ($1, $2, $3, $4) \
             on conflict (person, for_group, of_day) do nothing"
        };
        let query = sqlx::query(text)
            .bind(word.person.0.to_string())
            .bind(word.group.0.to_string())
            .bind(word.of.to_string());
        let query = if comes { query } else { query.bind(at.0) };
        query.execute(&self.pool).await?;
        Ok(())
    }

    async fn absences(&self, from: Date) -> Result<Vec<Word>, StoreError> {
        let rows: Vec<(String, String, String)> = sqlx::query_as(
            "select person, for_group, of_day from sent_word where of_day >= $1 order by of_day, at_ms",
        )
        .bind(from.to_string())
        .fetch_all(&self.pool)
        .await?;
        let word = |(person, group, of): (String, String, String)| {
            Some(Word {
                person: PersonId(Uuid::parse_str(&person).ok()?),
                group: GroupId(Uuid::parse_str(&group).ok()?),
                of: of.try_into().ok()?,
            })
        };
        Ok(rows.into_iter().filter_map(word).collect())
    }
}

#[derive(FromRow)]
struct LinkRow {
    id: String,
    person: Option<String>,
    account: Option<String>,
    medium: String,
    created_at_ms: i64,
    used_at_ms: Option<i64>,
    devices: i64,
}

#[derive(FromRow)]
struct DeviceRow {
    id: String,
    link: String,
    shared: i64,
    later: i64,
    created_at_ms: i64,
    seen_at_ms: i64,
}

fn link(row: LinkRow) -> Option<OwnLink> {
    let id = |text: String| Uuid::parse_str(&text).ok();
    let owner = match (row.person, row.account) {
        (Some(person), None) => LinkOwner::Person(PersonId(id(person)?)),
        (None, Some(account)) => LinkOwner::Account(AccountId(id(account)?)),
        _ => return None,
    };
    Some(OwnLink {
        id: LinkId(id(row.id)?),
        owner,
        medium: MEDIA.into_iter().find(|medium| medium_name(*medium) == row.medium)?,
        created_at: EpochMs(row.created_at_ms),
        used_at: row.used_at_ms.map(EpochMs),
        devices: u32::try_from(row.devices).unwrap_or(u32::MAX),
    })
}

fn device(row: DeviceRow) -> Option<OwnDevice> {
    Some(OwnDevice {
        id: Uuid::parse_str(&row.id).ok()?,
        link: LinkId(Uuid::parse_str(&row.link).ok()?),
        shared: row.shared == 1,
        later: row.later == 1,
        created_at: EpochMs(row.created_at_ms),
        seen_at: EpochMs(row.seen_at_ms),
    })
}

fn columns(owner: LinkOwner) -> (Option<String>, Option<String>) {
    match owner {
        LinkOwner::Person(id) => (Some(id.0.to_string()), None),
        LinkOwner::Account(id) => (None, Some(id.0.to_string())),
    }
}

const MEDIA: [Medium; 5] =
    [Medium::Paper, Medium::Mail, Medium::Tablet, Medium::CarePartner, Medium::Calendar];

fn medium_name(medium: Medium) -> &'static str {
    match medium {
        Medium::Paper => "paper",
        Medium::Mail => "mail",
        Medium::Tablet => "tablet",
        Medium::CarePartner => "care_partner",
        Medium::Calendar => "calendar",
    }
}
