//! The messages between the feed and everybody else: versioned, bounded JSON text frames under one WebSocket
//! subprotocol, their generated JSON Schema, and the clock-offset estimator that every client uses.
//!
//! These types are the wire's own. They know neither the engine nor any runtime; the feed converts at its
//! border.

pub mod bounds;
pub mod clock;
pub mod from_client;
pub mod from_feed;
pub mod judges;
pub mod lane_record;
pub mod lanes;
pub mod papers;
pub mod phones;
pub mod schema;
pub mod show_commands;
pub mod shows;
mod skip;
pub mod tries;
pub mod view;

/// The WebSocket subprotocol. The number changes when an old client could misread a new message.
pub const SUBPROTOCOL: &str = "fivemark.v1";

/// Path of the WebSocket on the feed.
pub const SOCKET_PATH: &str = "/feed";
