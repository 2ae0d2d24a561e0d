//! What a server that runs for a year does beside its classes: it keeps its clock right, and forgets what is over.

use std::sync::Arc;
use std::time::Duration;

use tokio::time::MissedTickBehavior;

use crate::app::App;
use crate::host::clock::Followed;
use crate::host::metrics;

/// How often the system's clock is looked at.
const LOOK_EVERY: Duration = Duration::from_secs(10);
/// How many looks are an hour.
const LOOKS_AN_HOUR: u32 = 360;

/// Goes on until the server stops.
pub async fn keep(app: Arc<App>) {
    let mut look = tokio::time::interval(LOOK_EVERY);
    look.set_missed_tick_behavior(MissedTickBehavior::Delay);
    let mut apart = false;
    for looks in 0.. {
        tokio::select! {
            () = app.shutdown.cancelled() => return,
            _ = look.tick() => {}
        }
        match app.clock.follow(app.hub.live() == 0) {
            Followed::Closely => apart = false,
            Followed::Stepped => {
                tracing::warn!("the system's clock was set forward; so is the server's, as no class is live");
            }
            Followed::Apart(by_ms) => {
                if !std::mem::replace(&mut apart, true) {
                    tracing::warn!(
                        clock.apart_ms = by_ms,
                        "the system's clock was set; classes go on by the old time"
                    );
                }
            }
        }
        metrics::log_bytes(app.store.log_bytes());
        if looks % LOOKS_AN_HOUR == 0 {
            forget(&app).await;
        }
    }
}

async fn forget(app: &App) {
    app.limits.forget_idle();
    app.hub.forget_stopped();
    // What classes had is worked out again when it is asked for.
    app.had.clear();
    match app.store.forget_expired(app.clock.now()).await {
        Ok(passes) => tracing::debug!(passes, "expired passes forgotten"),
        Err(error) => {
            tracing::warn!(error = &error as &dyn std::error::Error, "expired passes not forgotten");
        }
    }
}
