//! Questions of which the answer is awaited: how somebody signs in by something else than a password.

use dashmap::DashMap;
use samebreath_core::staff::account::AccountId;
use samebreath_core::time::EpochMs;
use uuid::Uuid;
use webauthn_rs::prelude::{PasskeyAuthentication, PasskeyRegistration};

use crate::access::oidc::Question;

/// How long somebody may take between the question and the answer.
const TAKES_MS: i64 = 5 * 60_000;
/// The most questions that are open at once; then the oldest are dropped.
const MOST_OPEN: usize = 10_000;

/// A question to a device or to the organisation's own sign-in, of which the answer is awaited.
#[derive(Debug, Clone)]
pub enum Ceremony {
    /// A device makes a key.
    Make(AccountId, Box<PasskeyRegistration>),
    /// A device uses one.
    Use(AccountId, Box<PasskeyAuthentication>),
    /// The provider says who somebody is.
    Who(Box<Question>),
}

/// The questions that are open. Browsers never see what has to be remembered of them.
#[derive(Debug, Default)]
pub struct Ceremonies(DashMap<Uuid, (EpochMs, Ceremony)>);

impl Ceremonies {
    /// Remembers a question, and returns its id.
    pub fn begin(&self, ceremony: Ceremony, now: EpochMs) -> Uuid {
        self.0.retain(|_, (since, _)| now.since(*since) < TAKES_MS);
        while self.0.len() >= MOST_OPEN {
            let oldest = self.0.iter().min_by_key(|one| one.value().0).map(|one| *one.key());
            if oldest.is_none_or(|oldest| self.0.remove(&oldest).is_none()) {
                break;
            }
        }
        let id = Uuid::new_v4();
        self.0.insert(id, (now, ceremony));
        id
    }

    /// Takes a question; it can be answered once.
    pub fn take(&self, id: Uuid, now: EpochMs) -> Option<Ceremony> {
        let (_, (since, ceremony)) = self.0.remove(&id)?;
        (now.since(since) < TAKES_MS).then_some(ceremony)
    }
}
