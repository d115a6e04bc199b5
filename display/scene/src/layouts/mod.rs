//! Layouts: where things stand on a screen of some shape. The wide board is the first.

pub(crate) mod bar;
pub(crate) mod header;
pub(crate) mod over;
pub(crate) mod result;
pub(crate) mod row;
pub(crate) mod tags;
pub(crate) mod wide;
