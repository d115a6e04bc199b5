//! Which monitor a window belongs on, and what becomes of it when monitors come and go. Asks no desktop.

use crate::plan::Monitor;

/// What is to be done with a window.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Step {
    /// It is where it belongs, or can't be anywhere.
    Stay,
    /// It is to be opened, on this monitor of the list if it asks for one.
    Open(Option<usize>),
    /// Its monitor is gone.
    Close,
}

/// What to do with a window that asks for `wanted`, given the monitors' names in the desktop's order.
pub(super) fn step(wanted: Option<&Monitor>, monitors: &[Option<String>], is_open: bool) -> Step {
    let Some(wanted) = wanted else {
        return if is_open { Step::Stay } else { Step::Open(None) };
    };
    let found = match wanted {
        Monitor::Number(number) => number.checked_sub(1).filter(|at| *at < monitors.len()),
        Monitor::Name(name) => monitors.iter().position(|monitor| monitor.as_ref() == Some(name)),
    };
    match (found, is_open) {
        (Some(at), false) => Step::Open(Some(at)),
        (None, true) => Step::Close,
        (Some(_), true) | (None, false) => Step::Stay,
    }
}

/// The monitors in words, for messages.
pub(super) fn in_words(monitors: &[Option<String>]) -> String {
    if monitors.is_empty() {
        return "there is none".into();
    }
    let name = |(monitor, number): (&Option<String>, usize)| match monitor {
        Some(name) => format!("{number} is `{name}`"),
        None => format!("{number} has no name"),
    };
    monitors.iter().zip(1..).map(name).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_window_closes_with_its_monitor_and_comes_back_with_it() {
        let both = [Some("wall".to_owned()), Some("floor".to_owned())];
        let floor = Monitor::Name("floor".into());
        assert_eq!(step(Some(&floor), &both, false), Step::Open(Some(1)));
        assert_eq!(step(Some(&floor), &both, true), Step::Stay);
        assert_eq!(step(Some(&floor), &both[..1], true), Step::Close);
        assert_eq!(step(Some(&floor), &both[..1], false), Step::Stay, "it waits");
        // It may come back at another place in the list.
        assert_eq!(step(Some(&floor), &both[1..], false), Step::Open(Some(0)));
        assert_eq!(step(Some(&floor), &[None, None], true), Step::Close);
    }

    #[test]
    fn monitors_are_counted_from_one_and_a_window_may_do_without() {
        let one = [None];
        assert_eq!(step(Some(&Monitor::Number(1)), &one, false), Step::Open(Some(0)));
        assert_eq!(step(Some(&Monitor::Number(2)), &one, false), Step::Stay);
        assert_eq!(step(Some(&Monitor::Number(0)), &one, false), Step::Stay);
        assert_eq!(step(None, &[], false), Step::Open(None));
        assert_eq!(step(None, &[], true), Step::Stay, "where it is is the desktop's affair");
    }
}
