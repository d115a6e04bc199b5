//! Counts and logs what was answered. Names devices and lanes, never access keys.

use fivemark_wire::from_feed::{FeedMessage, Subject};

use crate::journal::{Body, Entry};
use crate::metrics::Metrics;

/// Counts and logs an answer.
pub(super) fn note(metrics: &Metrics, entry: &Entry, answer: &FeedMessage) {
    let (heat, device, kind) = (entry.heat, entry.device.as_str(), entry.body.kind());
    match answer {
        FeedMessage::Refusal(refusal) => {
            metrics.refused(refusal.why.code);
            tracing::info!(heat, device, kind, code = ?refusal.why.code, "refused");
        }
        FeedMessage::Ack(ack) => {
            if let Some(why) = &ack.not_counted {
                metrics.not_counted(why.code);
                tracing::info!(heat, device, kind, code = ?why.code, "recorded, does not count");
            } else if let Body::Floor { said, by, .. } = &entry.body {
                tracing::info!(heat, by, command = ?said.command, "floor command");
            } else if let Body::Ruling { said, by } = &entry.body {
                tracing::info!(heat, by, lane = said.lane, "ruling");
            } else if let Body::HandOver { said, by } = &entry.body {
                tracing::info!(heat, by, lane = said.lane, to = said.to, "a lane goes to another phone");
            } else if let Body::Show { by, .. } = &entry.body {
                tracing::info!(by, "show command");
            }
        }
        FeedMessage::Gap(gap) => tracing::info!(heat, device, from = gap.from, "calls are missing"),
        _ => {}
    }
}

/// What an answer to an entry names.
pub(super) fn subject(body: &Body) -> Subject {
    match body {
        Body::Tally { said, .. } => Subject::Tally { epoch: said.epoch, number: said.number },
        Body::Ruling { said, .. } => Subject::Ruling { id: said.id },
        Body::Floor { said, .. } => Subject::Floor { id: said.id },
        Body::Show { said, .. } => Subject::Show { id: said.id },
        Body::HandOver { said, .. } => Subject::HandOver { id: said.id },
        Body::Confirm { said, .. } => Subject::Confirm { id: said.id },
        Body::Link { .. } | Body::Taken { .. } | Body::Reboot { .. } => Subject::Message,
    }
}
