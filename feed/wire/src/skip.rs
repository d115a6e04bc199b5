//! Which plain values are left out of a message: what is rare is written only where it is so. The shapes are those that
//! serde calls.

#[allow(clippy::trivially_copy_pass_by_ref)]
pub(crate) fn is_false(value: &bool) -> bool {
    !*value
}

#[allow(clippy::trivially_copy_pass_by_ref)]
pub(crate) fn is_true(value: &bool) -> bool {
    *value
}

pub(crate) fn yes() -> bool {
    true
}

#[allow(clippy::trivially_copy_pass_by_ref)]
pub(crate) fn is_zero(value: &u32) -> bool {
    *value == 0
}

#[allow(clippy::trivially_copy_pass_by_ref)]
pub(crate) fn is_zero_ms(value: &i64) -> bool {
    *value == 0
}
