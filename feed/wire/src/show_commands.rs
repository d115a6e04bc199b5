//! What floor operators ask screens to show.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Asks for what screens show. `id` makes it apply once.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Show {
    /// Chosen by the sender, unique on its device; the answer names it.
    pub id: u64,
    /// What is asked.
    pub command: ShowCommand,
}

/// What can be asked.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum ShowCommand {
    /// A part of the overlay comes or goes.
    Overlay {
        /// Which.
        part: OverlayPart,
        /// Whether it is shown.
        on: bool,
    },
    /// Two lanes of the heat on the floor head to head.
    Duel {
        /// Lane on the left, from 1.
        left: u8,
        /// Lane on the right; another one.
        right: u8,
    },
    /// No lanes head to head any more.
    DuelOff,
    /// What boards show.
    Board(BoardCommand),
}

/// Parts of the overlay that are on or off.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum OverlayPart {
    /// The ribbon along the bottom.
    Ribbon,
    /// The rail along one side.
    Rail,
    /// The small corner.
    Corner,
    /// The board's present card, as a lower card.
    Card,
}

/// What boards can be asked to show.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum BoardCommand {
    /// The running order follows the heats.
    Follow,
    /// Steps of the floor operator's own. From a heat's countdown until its results are provisional the heat has the
    /// board; then they go on.
    Own {
        /// After the last step comes the first again; otherwise the last one stays.
        again: bool,
        /// The steps, in order: 1 to 24.
        steps: Vec<StepAsked>,
    },
    /// The heat's board stays.
    Heat,
}

/// A step that is asked for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StepAsked {
    /// How long, milliseconds, at most a day; 0: it stays.
    pub for_ms: i64,
    /// What is shown.
    pub card: CardAsked,
}

/// A card that is asked for; the feed fills it. One for which there is nothing yet, such as results before the first
/// heat, is left out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum CardAsked {
    /// The board of the heat on the floor.
    Heat,
    /// Who comes next.
    NextHeat {
        /// Number of the heat; left out for the next one in running order.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        heat: Option<u32>,
        /// In how many milliseconds from now it is to start, at most a day; left out if not known.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        in_ms: Option<i64>,
    },
    /// Results of a heat.
    LastResults {
        /// Number of the heat; left out for the last one.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        heat: Option<u32>,
    },
    /// Standings of the last heat's workout.
    Standings {
        /// Id of the division; left out for one step per division of that heat.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        division: Option<String>,
    },
    /// The event's own card.
    Event,
    /// Words of the floor operator's own.
    Words {
        /// At most 120 bytes; may be empty if there is a text.
        title: String,
        /// At most 400 bytes; may be empty if there is a title, and may have several lines.
        text: String,
    },
    /// Counts down to a moment: either `to_ms` or `in_ms`.
    Countdown {
        /// What comes then; at most 120 bytes, may be empty.
        title: String,
        /// The moment, feed milliseconds.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        to_ms: Option<i64>,
        /// In how many milliseconds from now, at most a day.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        in_ms: Option<i64>,
    },
}
