//! Ends the sockets of whoever is signed out, or whose link is revoked.

use dashmap::DashMap;
use tokio_util::sync::CancellationToken;
use uuid::Uuid;

/// What sockets depend on, by the id of what gave their passes.
#[derive(Debug, Default)]
pub struct Ends(DashMap<Uuid, CancellationToken>);

impl Ends {
    /// Set when `via` ends; already set if it has. A pass without a `via` never ends this way.
    pub fn of(&self, via: Option<Uuid>) -> CancellationToken {
        via.map_or_else(CancellationToken::new, |via| self.0.entry(via).or_default().clone())
    }

    /// Ends the sockets of all passes that `via` gave. Its passes must be gone from the store by then.
    pub fn end(&self, via: Uuid) {
        self.0.entry(via).or_default().cancel();
    }

    /// Ends the sockets that are open by now. One whose pass is still there may come back.
    pub fn interrupt(&self, via: Uuid) {
        if let Some((_, end)) = self.0.remove(&via) {
            end.cancel();
        }
    }

    /// Forgets what ended long enough ago that no handshake can be under way.
    pub fn forget(&self) {
        self.0.retain(|_, end| !end.is_cancelled());
    }
}
