//! What operators watch, in the Prometheus text format on its own listener. It has numbers only: no names and no
//! texts.

use std::time::Duration;

use metrics_exporter_prometheus::{Matcher, PrometheusBuilder, PrometheusHandle};

/// Installs the recorder. Returns the handle that renders its numbers.
///
/// # Errors
/// When a recorder is already installed.
pub fn install() -> Result<PrometheusHandle, metrics_exporter_prometheus::BuildError> {
    let seconds = [0.000_5, 0.001, 0.002_5, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 1.0, 5.0];
    let handle = PrometheusBuilder::new()
        .set_buckets_for_metric(Matcher::Suffix("_seconds".to_owned()), &seconds)?
        .install_recorder()?;
    metrics::describe_gauge!("samebreath_sockets", "open sockets by role");
    metrics::describe_gauge!("samebreath_rooms", "rooms in memory");
    metrics::describe_gauge!("samebreath_log_bytes", "size of the database's write-ahead log in bytes");
    metrics::describe_counter!("samebreath_commands_total", "commands by outcome");
    metrics::describe_counter!("samebreath_events_total", "events appended to ledgers");
    metrics::describe_histogram!("samebreath_append_seconds", "seconds from append to commit");
    metrics::describe_counter!("samebreath_desk_frames_total", "desk frames made");
    metrics::describe_counter!("samebreath_closed_total", "sockets closed by the server, by reason");
    metrics::describe_counter!("samebreath_joins_total", "joins by outcome");
    Ok(handle)
}

pub(crate) fn append(took: Duration, events: usize) {
    metrics::histogram!("samebreath_append_seconds").record(took);
    metrics::counter!("samebreath_events_total").increment(events as u64);
}

pub(crate) fn command(taken: bool) {
    metrics::counter!("samebreath_commands_total", "outcome" => if taken { "taken" } else { "refused" })
        .increment(1);
}

pub(crate) fn desk_frame() {
    metrics::counter!("samebreath_desk_frames_total").increment(1);
}

pub(crate) fn socket(role: &'static str, change: f64) {
    metrics::gauge!("samebreath_sockets", "role" => role).increment(change);
}

/// The size of the database's write-ahead log, which grows while checkpoints fail.
pub(crate) fn log_bytes(bytes: u64) {
    #[expect(clippy::cast_precision_loss, reason = "no log has 2^53 bytes")]
    metrics::gauge!("samebreath_log_bytes").set(bytes as f64);
}

pub(crate) fn rooms(change: f64) {
    metrics::gauge!("samebreath_rooms").increment(change);
}

pub(crate) fn closed(reason: &'static str) {
    metrics::counter!("samebreath_closed_total", "reason" => reason).increment(1);
}

pub(crate) fn join(worked: bool) {
    metrics::counter!("samebreath_joins_total", "outcome" => if worked { "seated" } else { "refused" })
        .increment(1);
}
