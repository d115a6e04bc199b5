//! Bounds of show commands, decided before anything is journalled. Whether heats, divisions and lanes are there is
//! decided with the record.

use fivemark_wire::bounds::{MAX_ID, MAX_LANES, MAX_STEP_MS, MAX_STEPS, MAX_TITLE, MAX_WORDS};
use fivemark_wire::from_feed::Reason;
use fivemark_wire::show_commands::{BoardCommand, CardAsked, ShowCommand, StepAsked};

use super::checks::{MAX_SAFE, within};

/// Whether a command's fields lie within their bounds.
pub(super) fn within_bounds(command: &ShowCommand) -> Result<(), Reason> {
    match command {
        ShowCommand::Duel { left, right } => {
            let lane = |lane: u8| (1..=MAX_LANES).contains(&usize::from(lane));
            within(lane(*left) && lane(*right) && left != right, "left and right", "two lanes from 1 to 40")
        }
        ShowCommand::Board(BoardCommand::Own { steps, .. }) => {
            within((1..=MAX_STEPS).contains(&steps.len()), "steps", "1 to 24")?;
            steps.iter().try_for_each(step)
        }
        ShowCommand::Overlay { .. }
        | ShowCommand::DuelOff
        | ShowCommand::Board(BoardCommand::Follow | BoardCommand::Heat) => Ok(()),
    }
}

fn step(step: &StepAsked) -> Result<(), Reason> {
    let span = |ms: &i64| (0..=MAX_STEP_MS).contains(ms);
    within(span(&step.for_ms), "for_ms", "0 to a day")?;
    match &step.card {
        CardAsked::NextHeat { in_ms, .. } => within(in_ms.iter().all(span), "in_ms", "0 to a day"),
        CardAsked::Standings { division } => {
            within(division.iter().all(|id| id.len() <= MAX_ID), "division", "at most 64 bytes long")
        }
        CardAsked::Words { title, text } => {
            title_fits(title)?;
            within(text.len() <= MAX_WORDS, "text", "at most 400 bytes long")?;
            let readable = |c: char| c == '\n' || !c.is_control();
            within(text.chars().all(readable), "text", "free of control characters but line ends")?;
            within(!(title.trim().is_empty() && text.trim().is_empty()), "title or text", "written")
        }
        CardAsked::Countdown { title, to_ms, in_ms } => {
            title_fits(title)?;
            within(to_ms.is_some() != in_ms.is_some(), "to_ms or in_ms", "given, and only one of them")?;
            within(to_ms.iter().all(|ms| (-MAX_SAFE..=MAX_SAFE).contains(ms)), "to_ms", "below 2^53")?;
            within(in_ms.iter().all(span), "in_ms", "0 to a day")
        }
        CardAsked::Heat | CardAsked::LastResults { .. } | CardAsked::Event => Ok(()),
    }
}

fn title_fits(title: &str) -> Result<(), Reason> {
    within(title.len() <= MAX_TITLE, "title", "at most 120 bytes long")?;
    within(!title.chars().any(char::is_control), "title", "on one line, without control characters")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn own(card: CardAsked) -> ShowCommand {
        let steps = vec![StepAsked { for_ms: 5_000, card }];
        ShowCommand::Board(BoardCommand::Own { again: false, steps })
    }

    fn words(title: &str, text: &str) -> CardAsked {
        CardAsked::Words { title: title.to_owned(), text: text.to_owned() }
    }

    fn countdown(to_ms: Option<i64>, in_ms: Option<i64>) -> CardAsked {
        CardAsked::Countdown { title: String::new(), to_ms, in_ms }
    }

    fn steps(count: usize, for_ms: i64) -> ShowCommand {
        let steps = vec![StepAsked { for_ms, card: CardAsked::Heat }; count];
        ShowCommand::Board(BoardCommand::Own { again: true, steps })
    }

    #[test]
    fn what_lies_on_a_bound_is_taken() {
        for command in [
            ShowCommand::Duel { left: 1, right: 40 },
            steps(24, 86_400_000),
            steps(1, 0),
            own(words(&"t".repeat(120), &"w".repeat(400))),
            own(words("", "two\nlines")),
            own(countdown(Some(-MAX_SAFE), None)),
            own(countdown(None, Some(86_400_000))),
            own(CardAsked::Standings { division: Some("d".repeat(64)) }),
            own(CardAsked::NextHeat { heat: Some(u32::MAX), in_ms: Some(0) }),
        ] {
            assert_eq!(within_bounds(&command), Ok(()), "{command:?}");
        }
    }

    #[test]
    fn what_lies_beyond_a_bound_is_named() {
        for (command, field) in [
            (ShowCommand::Duel { left: 0, right: 1 }, "left and right"),
            (ShowCommand::Duel { left: 1, right: 41 }, "left and right"),
            (ShowCommand::Duel { left: 2, right: 2 }, "left and right"),
            (steps(25, 1), "steps"),
            (steps(0, 1), "steps"),
            (steps(1, -1), "for_ms"),
            (steps(1, 86_400_001), "for_ms"),
            (own(words(&"t".repeat(121), "")), "title"),
            (own(words("t\n", "")), "title"),
            (own(words("", &"w".repeat(401))), "text"),
            (own(words("", "a\u{7}b")), "text"),
            (own(words(" ", "\n")), "title or text"),
            (own(countdown(None, None)), "to_ms or in_ms"),
            (own(countdown(Some(1), Some(1))), "to_ms or in_ms"),
            (own(countdown(Some(i64::MAX), None)), "to_ms"),
            (own(countdown(None, Some(-1))), "in_ms"),
            (own(CardAsked::NextHeat { heat: None, in_ms: Some(86_400_001) }), "in_ms"),
            (own(CardAsked::Standings { division: Some("d".repeat(65)) }), "division"),
        ] {
            let says = within_bounds(&command).unwrap_err().says;
            assert!(says.starts_with(field), "{command:?}: {says}");
        }
    }
}
