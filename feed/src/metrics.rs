//! Counters and histograms of the feed, and their text form. Counts; leaves deciding to others.

use std::sync::atomic::AtomicU64;

use fivemark_wire::from_client::Role;
use fivemark_wire::from_feed::ReasonCode;
use prometheus_client::encoding::EncodeLabelSet;
use prometheus_client::encoding::text::encode;
use prometheus_client::metrics::counter::Counter;
use prometheus_client::metrics::family::Family;
use prometheus_client::metrics::gauge::Gauge;
use prometheus_client::metrics::histogram::Histogram;
use prometheus_client::registry::Registry;

/// What the text form says it is.
pub const CONTENT_TYPE: &str = "application/openmetrics-text; version=1.0.0; charset=utf-8";

/// A reason's code.
#[derive(Clone, Debug, Hash, PartialEq, Eq, EncodeLabelSet)]
struct Code {
    code: String,
}

/// A client's role.
#[derive(Clone, Debug, Hash, PartialEq, Eq, EncodeLabelSet)]
struct RoleLabel {
    role: &'static str,
}

/// Everything that the feed counts.
#[derive(Debug)]
pub struct Metrics {
    registry: Registry,
    refusals: Family<Code, Counter>,
    not_counted: Family<Code, Counter>,
    clients: Family<RoleLabel, Gauge>,
    /// Tallies received from judges.
    pub calls: Counter,
    /// Entries made durable.
    pub entries: Counter,
    /// Seconds that commits took.
    pub commit_seconds: Histogram,
    /// 1 while the journal can be written.
    pub journal_ok: Gauge,
    /// Number of the last delta.
    pub delta: Gauge<u64, AtomicU64>,
    /// Snapshots given to readers that had fallen behind.
    pub caught_up: Counter,
    /// Readers dropped because they did not read.
    pub dropped: Counter,
}

impl Metrics {
    /// All at zero.
    #[must_use]
    pub fn new() -> Self {
        // From a fast solid-state disk to a struggling memory card.
        let commit_seconds =
            Histogram::new([0.000_2, 0.000_5, 0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.5, 2.0]);
        let mut metrics = Self {
            registry: Registry::with_prefix("fivemark"),
            refusals: Family::default(),
            not_counted: Family::default(),
            clients: Family::default(),
            calls: Counter::default(),
            entries: Counter::default(),
            commit_seconds,
            journal_ok: Gauge::default(),
            delta: Gauge::default(),
            caught_up: Counter::default(),
            dropped: Counter::default(),
        };
        metrics.register();
        metrics
    }

    fn register(&mut self) {
        let registry = &mut self.registry;
        registry.register("calls", "Calls received from judges", self.calls.clone());
        registry.register("refusals", "Messages refused, by reason", self.refusals.clone());
        registry.register("calls_not_counted", "Calls recorded only, by reason", self.not_counted.clone());
        registry.register("clients", "Clients joined, by role", self.clients.clone());
        registry.register("journal_entries", "Entries made durable since the start", self.entries.clone());
        registry.register("journal_commit_seconds", "Time of a commit", self.commit_seconds.clone());
        registry.register("journal_ok", "1 while the journal can be written", self.journal_ok.clone());
        registry.register("delta_number", "Number of the last delta", self.delta.clone());
        registry.register("readers_caught_up", "Snapshots for readers behind", self.caught_up.clone());
        registry.register("readers_dropped", "Readers dropped for not reading", self.dropped.clone());
    }

    /// Counts a refusal.
    pub fn refused(&self, code: ReasonCode) {
        self.refusals.get_or_create(&Code { code: code_name(code) }).inc();
    }

    /// Counts a call that is recorded and does not count.
    pub fn not_counted(&self, code: ReasonCode) {
        self.not_counted.get_or_create(&Code { code: code_name(code) }).inc();
    }

    /// Counts a client in; it is counted out when the guard is dropped.
    #[must_use]
    pub fn client(&self, role: Role) -> ClientGuard {
        let gauge = self.clients.get_or_create(&RoleLabel { role: role_name(role) }).clone();
        gauge.inc();
        ClientGuard(gauge)
    }

    /// The text form.
    #[must_use]
    pub fn text(&self) -> String {
        let mut text = String::new();
        if encode(&mut text, &self.registry).is_err() {
            // Writing to a string does not fail; an empty answer would be noticed.
            text.clear();
        }
        text
    }
}

impl Default for Metrics {
    fn default() -> Self {
        Self::new()
    }
}

/// Counts a client out when dropped.
#[derive(Debug)]
pub struct ClientGuard(Gauge);

impl Drop for ClientGuard {
    fn drop(&mut self) {
        self.0.dec();
    }
}

/// A reason's code as it is on the wire.
#[must_use]
pub fn code_name(code: ReasonCode) -> String {
    match serde_json::to_value(code) {
        Ok(serde_json::Value::String(name)) => name,
        _ => "other".to_owned(),
    }
}

/// A role as people say it.
#[must_use]
pub fn role_name(role: Role) -> &'static str {
    match role {
        Role::HeadJudge => "head judge",
        Role::FloorOperator => "floor operator",
        Role::LaneJudge => "lane judge",
        Role::ShadowJudge => "shadow judge",
        Role::Display => "display",
        Role::Announcer => "announcer",
        Role::Spectator => "spectator",
    }
}
