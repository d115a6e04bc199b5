//! The demo of Fivemark: an invented competition, a floor of simulated athletes and judges whose phones are real
//! WebSocket clients, and a stage that starts feed and display around them. Everything on the floor follows from
//! one seed.
//!
//! Pure parts work in heat time and do no I/O; the tokio shells around them are `session`, `radio`, `official`,
//! `hall`, `stage` and `show`.

pub mod athlete;
pub mod calls;
pub mod cli;
pub mod clock;
pub mod competition;
pub mod floor;
pub mod folder;
pub mod hall;
pub mod head_judge;
pub mod health;
pub mod initials;
pub mod judge;
pub mod keys;
pub mod link;
pub mod official;
pub mod people;
pub mod phone;
pub mod radio;
pub mod session;
pub mod show;
pub mod stage;
pub mod story;
