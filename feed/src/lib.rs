//! The feed of Fivemark: keeps the record of a competition, runs its heats, and tells everybody what happens.
//!
//! A call enters at a WebSocket, becomes an entry of the journal, is applied by the engine, and leaves as a delta for
//! every client. The engine decides; this package stamps, keeps, orders and carries.

pub mod access;
pub mod access_file;
pub mod actor;
pub mod authority;
pub mod brief;
pub mod cli;
pub mod client;
pub mod code;
pub mod competition;
pub mod convert;
pub mod digest;
mod flags;
pub mod http;
pub mod hub;
pub mod journal;
mod judging;
pub mod lane_record;
pub mod lane_setting;
pub mod machine;
pub mod metrics;
mod opening;
pub mod pace;
pub mod papers;
pub mod picture;
pub mod pins;
pub mod replay;
pub mod restart;
pub mod retell;
pub mod roles;
pub mod run;
pub mod shared;
pub mod shows;
pub mod stamp;
pub mod timeline;
pub mod tls;
pub mod verify;
