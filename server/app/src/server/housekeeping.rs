//! What the server does besides holding classes, so that it can run for a year: it keeps its clock right and
//! forgets what is no longer needed.

use std::sync::Arc;
use std::time::Duration;

use tokio::time::MissedTickBehavior;

use crate::app::App;
use crate::host::clock::Followed;
use crate::host::metrics;
use crate::session::retention;

/// How often the server checks the system's clock.
const LOOK_EVERY: Duration = Duration::from_secs(10);
/// A device that several people use is forgotten after so long, if nobody said that they were done: longer than a day of
/// classes.
const SHARED_MS: i64 = 12 * 3_600_000;
/// How many such checks there are in an hour.
const LOOKS_AN_HOUR: u32 = 360;

/// Runs until the server stops.
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
                tracing::warn!(
                    "the system's clock was set forward; the server follows, because no class is live"
                );
            }
            Followed::Apart(by_ms) => {
                if !std::mem::replace(&mut apart, true) {
                    tracing::warn!(
                        clock.apart_ms = by_ms,
                        "the system's clock was set; live classes keep the old time"
                    );
                }
            }
        }
        metrics::log_bytes(app.store.log_bytes());
        if looks % LOOKS_AN_HOUR == 0 {
            forget(&app).await;
            // It may take a while, and the clock is looked at meanwhile.
            let app = Arc::clone(&app);
            let tasks = app.tasks.clone();
            tasks.spawn(async move { retention::daily(&app).await });
        }
    }
}

async fn forget(app: &App) {
    app.limits.forget_idle();
    app.ends.forget();
    app.hub.forget_stopped();
    // What classes showed is worked out again when it is next asked for.
    app.forget_folded();
    app.read_lately.clear();
    match app.store.end_forgotten_devices(app.clock.now().plus(-SHARED_MS)).await {
        Ok(devices) => devices.into_iter().for_each(|device| app.ends.end(device)),
        Err(error) => {
            tracing::warn!(error = &error as &dyn std::error::Error, "could not end forgotten devices");
        }
    }
    match app.store.forget_expired(app.clock.now()).await {
        Ok(passes) => tracing::debug!(passes, "expired passes forgotten"),
        Err(error) => {
            tracing::warn!(error = &error as &dyn std::error::Error, "could not forget expired passes");
        }
    }
}
