//! How many requests anybody may make: wrong codes and joins are limited by address, joins also by class, and
//! each seat, desk and wall has one allowance for all its sockets and plain requests.

use samebreath_core::people::link::LinkId;
use std::num::NonZeroU32;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use dashmap::DashMap;
use governor::clock::{Clock as _, DefaultClock};
use governor::state::keyed::DashMapStateStore;
use governor::{DefaultDirectRateLimiter, Quota, RateLimiter};
use samebreath_store::ledger::SessionId;
use samebreath_store::passes::Role;
use samebreath_wire::{MESSAGES_A_MINUTE, MESSAGES_AT_ONCE};
use tokio::sync::Semaphore;

use crate::access::caller::Caller;
use crate::access::passes::Stay;

/// Wrong codes and links from one address in a minute before each has to wait. A household that mistypes stays
/// far below this.
const WRONG_A_MINUTE: u32 = 20;
/// Wrong codes and links from all addresses in a minute before each has to wait.
const WRONG_IN_ALL_A_MINUTE: u32 = 600;
/// How long a wrong code then waits for its answer, and how many may wait at once. Together they limit how fast
/// anybody can guess, from however many addresses.
const WAITS: Duration = Duration::from_secs(2);
const WAIT_AT_ONCE: usize = 32;
/// Seats that one address may take in a minute: enough for a residence with forty people, each on two devices.
const JOINS_OF_ONE_A_MINUTE: u32 = 80;

/// Tries to sign in to one account from one address in a minute. From another address, its owner still can.
const SIGN_INS_A_MINUTE: u32 = 10;
/// Tries from one address in a minute, to whatever accounts: an office may start its day behind one address.
const SIGN_INS_OF_ONE_A_MINUTE: u32 = 60;
/// Requests of one lasting link in a minute: a page that waits asks twelve times, fifteen with a home sheet open, and a person
/// has a few of them open.
const OWN_LINK_A_MINUTE: u32 = 120;

type ByKey<K> = RateLimiter<K, DashMapStateStore<K>, DefaultClock>;

/// The limits of a server.
pub struct Limits {
    wrong: ByKey<u128>,
    wrong_in_all: DefaultDirectRateLimiter,
    waiting: Semaphore,
    joins_of_one: ByKey<u128>,
    joins_of_class: ByKey<SessionId>,
    sign_ins: ByKey<(String, u128)>,
    sign_ins_of_one: ByKey<u128>,
    own_links: ByKey<LinkId>,
    allowances: DashMap<Stay, Arc<Allowance>>,
}

/// The limit has been reached.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TooOften;

impl Limits {
    /// `joins_a_minute` limits the joins of one class.
    #[must_use]
    pub fn new(joins_a_minute: u32) -> Self {
        Self {
            wrong: RateLimiter::dashmap(a_minute(WRONG_A_MINUTE)),
            wrong_in_all: RateLimiter::direct(a_minute(WRONG_IN_ALL_A_MINUTE)),
            waiting: Semaphore::new(WAIT_AT_ONCE),
            joins_of_one: RateLimiter::dashmap(a_minute(JOINS_OF_ONE_A_MINUTE.max(joins_a_minute))),
            joins_of_class: RateLimiter::dashmap(a_minute(joins_a_minute)),
            sign_ins: RateLimiter::dashmap(a_minute(SIGN_INS_A_MINUTE)),
            sign_ins_of_one: RateLimiter::dashmap(a_minute(SIGN_INS_OF_ONE_A_MINUTE)),
            own_links: RateLimiter::dashmap(a_minute(OWN_LINK_A_MINUTE)),
            allowances: DashMap::new(),
        }
    }

    /// Counts a wrong code or link, and makes it wait while there are many. A right one is never counted, so nobody
    /// can lock a class out by guessing.
    ///
    /// # Errors
    /// When this address, or all together, were wrong too often.
    pub async fn count_wrong(&self, caller: Caller) -> Result<(), TooOften> {
        // An address that is past its own limit does not use up the limit for all.
        if self.wrong.check_key(&caller.key()).is_ok() && self.wrong_in_all.check().is_ok() {
            return Ok(());
        }
        let place = self.waiting.try_acquire().map_err(|_| TooOften)?;
        tokio::time::sleep(WAITS).await;
        drop(place);
        Err(TooOften)
    }

    /// Counts a join with a code.
    ///
    /// # Errors
    /// When this address, or the class, had too many in the last minute.
    pub fn count_join(&self, caller: Caller, session: SessionId) -> Result<(), TooOften> {
        let of_one = self.joins_of_one.check_key(&caller.key()).is_ok();
        let of_class = self.joins_of_class.check_key(&session).is_ok();
        if of_one && of_class { Ok(()) } else { Err(TooOften) }
    }

    /// Counts a try to sign in to the account of this name, as names are compared, whatever becomes of it.
    ///
    /// # Errors
    /// When there were too many from this address in the last minute.
    pub fn count_sign_in(&self, caller: Caller, folded: &str) -> Result<(), TooOften> {
        let of_one = self.sign_ins_of_one.check_key(&caller.key()).is_ok();
        let of_account = of_one && self.sign_ins.check_key(&(folded.to_owned(), caller.key())).is_ok();
        if of_account { Ok(()) } else { Err(TooOften) }
    }

    /// Counts a try to sign in by the organisation's own sign-in, which says only later whose account it is.
    ///
    /// # Errors
    /// When there were too many from this address in the last minute.
    pub fn count_provider(&self, caller: Caller) -> Result<(), TooOften> {
        self.sign_ins_of_one.check_key(&caller.key()).map_err(|_| TooOften)
    }

    /// Counts a request by a lasting link.
    ///
    /// # Errors
    /// When there were too many by this link in the last minute.
    pub fn count_own(&self, link: LinkId) -> Result<(), TooOften> {
        self.own_links.check_key(&link).map_err(|_| TooOften)
    }

    /// The allowance of a seat, desk or wall, which all its sockets and requests share.
    pub fn allowance(&self, stay: &Stay) -> Arc<Allowance> {
        let entry = self.allowances.entry(stay.clone());
        Arc::clone(entry.or_insert_with(|| Arc::new(Allowance::of(&stay.role))).value())
    }

    /// Forgets callers and stays that have not asked for anything for a while.
    pub fn forget_idle(&self) {
        self.wrong.retain_recent();
        self.joins_of_one.retain_recent();
        self.joins_of_class.retain_recent();
        self.sign_ins.retain_recent();
        self.sign_ins_of_one.retain_recent();
        self.own_links.retain_recent();
        self.allowances.retain(|_, allowance| Arc::strong_count(allowance) > 1 || allowance.was_used());
    }
}

/// How much one seat, desk or wall may ask. Every message, ping, handshake and request is charged before it is
/// read.
pub struct Allowance {
    left: DefaultDirectRateLimiter,
    /// Whether it was charged since the last check.
    used: AtomicBool,
}

/// How many times a person's allowance a desk has. It reads an open person's card again with each change of the
/// class, and several colleagues may share it.
const OF_A_DESK: u32 = 20;

impl Allowance {
    fn of(role: &Role) -> Self {
        let times = if matches!(role, Role::Desk(_)) { OF_A_DESK } else { 1 };
        let at_once = NonZeroU32::new(MESSAGES_AT_ONCE * times).unwrap_or(NonZeroU32::MIN);
        let left = RateLimiter::direct(a_minute(MESSAGES_A_MINUTE * times).allow_burst(at_once));
        Self { left, used: AtomicBool::new(false) }
    }

    /// Whether it was charged since the last check, so that a stay that sends only plain requests is not forgotten.
    fn was_used(&self) -> bool {
        self.used.swap(false, Ordering::Relaxed)
    }

    /// Charges one message or request.
    ///
    /// # Errors
    /// How long to wait, when nothing is left.
    pub fn take(&self) -> Result<(), Duration> {
        self.used.store(true, Ordering::Relaxed);
        self.left.check().map_err(|later| later.wait_time_from(DefaultClock::default().now()))
    }
}

fn a_minute(n: u32) -> Quota {
    Quota::per_minute(NonZeroU32::new(n).unwrap_or(NonZeroU32::MIN))
}

#[cfg(test)]
mod tests {
    use samebreath_core::live::SeatId;
    use uuid::Uuid;

    use super::*;

    fn caller(last: u8) -> Caller {
        Caller(std::net::IpAddr::from([203, 0, 113, last]))
    }

    #[tokio::test(start_paused = true)]
    async fn whoever_guesses_waits_and_few_wait_at_once() {
        let limits = Arc::new(Limits::new(120));
        for _ in 0..WRONG_A_MINUTE {
            assert_eq!(limits.count_wrong(caller(1)).await, Ok(()));
        }
        let began = tokio::time::Instant::now();
        let many = (0..1_000).map(|_| {
            let limits = Arc::clone(&limits);
            tokio::spawn(async move { limits.count_wrong(caller(1)).await })
        });
        let mut at_once = 0;
        for guess in many.collect::<Vec<_>>() {
            assert_eq!(guess.await.expect("it ends"), Err(TooOften));
            at_once += usize::from(began.elapsed() < WAITS);
        }
        assert!(began.elapsed() == WAITS, "no guess waits longer than the first");
        assert!(at_once < 1_000, "some guesses wait");
        assert_eq!(limits.count_wrong(caller(2)).await, Ok(()), "another household may still mistype");
    }

    #[test]
    fn a_class_is_not_filled_in_seconds() {
        let limits = Limits::new(120);
        let class = SessionId(Uuid::from_u128(1));
        let taken = (0..2_000).filter(|n| limits.count_join(caller((n % 50) as u8), class).is_ok()).count();
        assert!((120..=122).contains(&taken), "{taken} of 2,000");
        assert_eq!(limits.count_join(caller(60), SessionId(Uuid::from_u128(2))), Ok(()), "another class");
    }

    #[test]
    fn all_sockets_of_a_seat_share_one_allowance() {
        let limits = Limits::new(120);
        let stay = |n| Stay { session: SessionId(Uuid::from_u128(1)), role: Role::Seat(SeatId(n)) };
        let (one, other) = (limits.allowance(&stay(1)), limits.allowance(&stay(1)));
        let taken = (0..1_000).filter(|n| if n % 2 == 0 { one.take() } else { other.take() }.is_ok()).count();
        let at_once = MESSAGES_AT_ONCE as usize;
        assert!((at_once..at_once + 5).contains(&taken), "{taken}");
        assert!(
            one.take().is_err_and(|wait| wait <= Duration::from_millis(250)),
            "from then on one at a time"
        );
        assert_eq!(limits.allowance(&stay(2)).take(), Ok(()), "another seat's allowance is still full");
        drop((one, other));
        limits.forget_idle();
        assert!(limits.allowance(&stay(1)).take().is_err(), "a flood without a socket is remembered");
        limits.forget_idle();
        limits.forget_idle();
        assert_eq!(limits.allowances.len(), 0);
    }
}
