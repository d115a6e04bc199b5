//! The JSON Schema of the wire, generated from the types. A copy stands in the tree at
//! `feed/wire/schema.json`; a test fails when the two part.

use schemars::{JsonSchema, schema_for};
use serde::Serialize;

use crate::from_client::ClientMessage;
use crate::from_feed::FeedMessage;

/// Both directions in one document.
#[derive(Serialize, JsonSchema)]
#[schemars(title = "fivemark.v1")]
#[allow(dead_code)] // only its schema is used
struct Wire {
    /// What clients send.
    from_client: ClientMessage,
    /// What the feed sends.
    from_feed: FeedMessage,
}

/// The schema as pretty-printed JSON, ending in a newline.
#[must_use]
pub fn schema_json() -> String {
    let mut text = serde_json::to_string_pretty(schema_for!(Wire).as_value()).unwrap_or_default();
    text.push('\n');
    text
}
