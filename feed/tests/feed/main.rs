//! The feed through its doors: real sockets, the real binary, real files. One program, so that it is linked once.

// Helpers of tests: a value that is not there is a failed test.
#![allow(clippy::unwrap_used)]

mod access;
mod attempt_files;
mod crowd;
mod dial;
mod disk;
mod evidence;
mod files;
mod hand_over;
mod harness;
mod heat;
mod http;
mod initials;
mod judges;
mod logs;
mod messages;
mod papers;
mod phones;
mod pins;
mod program;
mod readers;
mod reboot;
mod recordings;
mod restart;
mod retelling;
mod rulings;
mod scripts;
mod set_lanes;
mod shows;
mod tls;
mod told;
mod torn;
