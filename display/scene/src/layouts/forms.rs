//! The forms that a lane's row can have, and where its parts stand in each: the name beside the track, the name and
//! the count over the track, or name, count and track one under the other in a narrow cell.

use fivemark_themes::Form;

use crate::layouts::{Content, permille};

/// The outside of a row, pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Frame {
    pub(crate) width: f32,
    pub(crate) height: f32,
    /// The layout's unit.
    pub(crate) unit: f32,
    /// Least height of capitals at which small texts that may be left out are worth their room.
    pub(crate) least_cap: f32,
}

/// Measures inside a row, pixels; x from the row's left end, y from its top.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct RowMeasures {
    pub(crate) width: f32,
    pub(crate) height: f32,
    pub(crate) radius: f32,
    pub(crate) edge_width: f32,
    pub(crate) lane_center: f32,
    /// Middle of the lane's number, without a division under it.
    pub(crate) lane_middle: f32,
    pub(crate) lane_cap: f32,
    /// How far the number goes up where a division stands under it, and how far under the number's baseline the
    /// division's stands.
    pub(crate) division: [f32; 2],
    pub(crate) division_cap: f32,
    /// Middle of the name's capitals.
    pub(crate) name_middle: f32,
    pub(crate) name_left: f32,
    pub(crate) name_width: f32,
    pub(crate) name_cap: f32,
    pub(crate) name_least_cap: f32,
    /// Height of the capitals of a team's members; 0 where they are not named.
    pub(crate) members_cap: f32,
    pub(crate) members_baseline: f32,
    /// Width of the plate with the round, before the track and in its room; 0 for none.
    pub(crate) round_width: f32,
    pub(crate) track_left: f32,
    /// Up to the end of the blocks.
    pub(crate) track_right: f32,
    pub(crate) track_top: f32,
    pub(crate) track_height: f32,
    pub(crate) part_gap: f32,
    pub(crate) part_radius: f32,
    pub(crate) block_gap: f32,
    pub(crate) notch: f32,
    pub(crate) tag_cap: f32,
    /// Where words beside the count may begin, and their middle.
    pub(crate) beside_left: f32,
    pub(crate) beside_middle: f32,
    /// They have a line of their own under the count.
    pub(crate) beside_apart: bool,
    pub(crate) count_left: f32,
    pub(crate) count_right: f32,
    pub(crate) count_middle: f32,
    pub(crate) count_cap: f32,
    pub(crate) badge_left: f32,
    pub(crate) badge_top: f32,
    pub(crate) badge_height: f32,
    pub(crate) place_cap: f32,
}

impl RowMeasures {
    /// What all forms take from the theme.
    fn new(frame: Frame, form: &Form) -> RowMeasures {
        let Frame { width, height, unit, .. } = frame;
        let thousandth = 1000.0 * unit;
        RowMeasures {
            width,
            height,
            radius: (permille(form.row_radius) * thousandth).min(height / 2.0),
            part_gap: (permille(form.part_gap) * thousandth).round().max(1.0),
            part_radius: permille(form.part_radius) * thousandth,
            badge_height: height,
            ..RowMeasures::default()
        }
    }
}

/// A row whose name stands beside its track; in `narrow` ones, of two columns, less of it is the name's.
pub(crate) fn beside(frame: Frame, content: Content, narrow: bool, form: &Form) -> RowMeasures {
    let Frame { width, height, unit, .. } = frame;
    // What stands in a row grows with its height until the track would get too short for it.
    let scale = height.min(width / 15.5).min(82.0 * unit);
    let edge_width = (scale * 0.16).round().max(3.0);
    let lane_width = scale * 0.92;
    let name_cap = (scale * 0.565).min(58.0 * unit);
    let name_left = (edge_width + lane_width).round();
    let most = width * if narrow { 0.29 } else { 0.315 };
    let name_width = (name_cap * content.name_width + 2.0).clamp((scale * 3.4).min(most), most).ceil();
    let count_cap = (scale * 0.80).min(82.0 * unit);
    let count_width = (count_cap * content.result_width).min(width * 0.175).ceil();
    let badge_width = (scale * 1.3).round();
    let badge_left = width - badge_width;
    let count_right = (badge_left - scale * 0.26).round();
    let count_left = count_right - count_width;
    let track_height = (height * permille(form.track_height)).min(scale * 0.78).round();
    let track_top = ((height - track_height) / 2.0).round();
    // In two columns the words of the last five stand after the blocks, where they hide nothing.
    let track_right = (count_left - scale * if narrow && !content.rounds { 0.78 } else { 0.34 }).round();
    let tag_cap = (22.4 * unit).max(scale * 0.3).min(track_height * 0.56).min(34.0 * unit);
    RowMeasures {
        edge_width,
        lane_center: (edge_width + lane_width * 0.48).round(),
        lane_middle: height / 2.0,
        lane_cap: (scale * 0.34).max((22.0 * unit).min(scale * 0.5)),
        division: [tag_cap * 1.35 / 2.0, tag_cap * 1.35],
        division_cap: tag_cap,
        name_middle: height / 2.0,
        name_left,
        name_width,
        name_cap,
        name_least_cap: name_cap * 0.88,
        track_left: (name_left + name_width + scale * 0.2).round(),
        track_right,
        track_top,
        track_height,
        block_gap: (5.0 * unit).round().max(2.0),
        notch: ((height - track_height) / 2.0 * 0.8).min(14.0 * unit),
        tag_cap,
        beside_left: track_right,
        beside_middle: track_top + track_height / 2.0,
        count_left,
        count_right,
        count_middle: height / 2.0,
        count_cap,
        badge_left,
        place_cap: (scale * 0.74).min(86.0 * unit),
        ..RowMeasures::new(frame, form)
    }
}

/// A row whose name and count stand over its track, and the place beside both.
pub(crate) fn under(frame: Frame, content: Content, form: &Form) -> RowMeasures {
    let Frame { width, height, unit, least_cap } = frame;
    // What the parts of a line take, in heights of a row that is long enough for them.
    let name_share = 0.33 * content.name_width.clamp(4.0, 9.0);
    let count_share = 0.45 * content.result_width.min(3.6).max(content.count_width);
    let scale = height.min(width / (1.66 + name_share + count_share));
    let edge_width = (scale * 0.07).clamp(3.0, (14.0 * unit).max(3.0)).round();
    let name_left = (edge_width + scale * 0.44).round();
    let badge_left = width - (scale * 0.76).round();
    let count_right = (badge_left - scale * 0.12).round();
    let count_cap = scale * 0.45;
    let (members_cap, mut name_cap) = ((scale * 0.115).max(least_cap), scale * 0.33);
    let members = content.members && scale * 0.13 >= least_cap;
    // A team's members stand under its name, beside the count.
    let between = scale * 0.055;
    if members {
        name_cap = count_cap - between - members_cap;
    }
    let air = scale * 0.12;
    let line = count_right - name_left - air;
    let name_room = (name_cap * content.name_width + 2.0).min(line - count_cap * content.count_width);
    let count_width = (count_cap * content.result_width)
        .min((line - name_room).max(line * 0.42))
        .max(count_cap * content.count_width)
        .ceil();
    // The rest of the height: above the line, between it and the track, the track, under it.
    let rest = height - count_cap;
    let above = rest * 0.175;
    let track_height = (rest * 0.45).round();
    let track_top = (above + count_cap + rest * 0.2).round();
    let count_middle = above + count_cap / 2.0;
    let tag_cap = (track_height * 0.5).min(34.0 * unit).max((22.4 * unit).min(track_height * 0.6));
    let division_cap = tag_cap.min(scale * 0.2);
    RowMeasures {
        edge_width,
        lane_center: (edge_width + scale * 0.215).round(),
        lane_middle: height / 2.0,
        lane_cap: scale * 0.2,
        division: [division_cap * 0.675, division_cap * 1.35],
        division_cap,
        name_middle: if members { above + name_cap / 2.0 } else { count_middle },
        name_left,
        name_width: (line - count_width).max(1.0),
        name_cap,
        name_least_cap: name_cap * 0.8,
        members_cap: if members { members_cap } else { 0.0 },
        members_baseline: (above + count_cap).round(),
        track_left: name_left,
        track_right: (badge_left - scale * 0.1).round(),
        track_top,
        track_height,
        block_gap: (6.0 * unit).min(scale * 0.035).round().max(2.0),
        notch: (rest * 0.2 * 0.6).min(18.0 * unit),
        tag_cap,
        beside_left: count_right - count_width,
        beside_middle: count_middle,
        count_left: count_right - count_width,
        count_right,
        count_middle,
        count_cap,
        badge_left,
        place_cap: scale * 0.48,
        ..RowMeasures::new(frame, form)
    }
}

/// A cell: lane and name, under them the count with the place at its right, and the track at the bottom.
pub(crate) fn cell(frame: Frame, content: Content, form: &Form) -> RowMeasures {
    let Frame { width, height, unit, least_cap } = frame;
    let pad = (width.min(height) * 0.06).round().max(1.0);
    let edge_width = (width.min(height) * 0.045).round().clamp(2.0, (14.0 * unit).max(3.0));
    let inner = width - edge_width - 2.0 * pad;
    // The lane's number stands before the name, and the name has room for some letters.
    let name_cap = (height * 0.17).min(inner / (1.4 + content.name_width.clamp(4.0, 6.2)));
    let name_left = (edge_width + pad + name_cap * 1.4).round();
    let above = (height * 0.07).round();
    let members = content.members && name_cap * 0.5 >= least_cap;
    let members_cap = name_cap * 0.5;
    let under_name = above + name_cap + if members { members_cap * 1.7 } else { 0.0 };
    let (between, notch_room, bottom) = (height * 0.065, height * 0.1, (height * 0.07).round());
    let most_room = (height * 0.84 - bottom - notch_room - under_name - between).max(1.0);
    let place_cap = (most_room * 0.62).min(width * 0.19);
    let badge_left = width - (place_cap * 1.6).round();
    let count_right = (badge_left - pad).round();
    // A division stands under the lane's number, and the count beside it.
    let (lane_center, division_cap) = ((edge_width + pad + name_cap * 0.5).round(), name_cap * 0.6);
    let count_left = if content.divisions { lane_center + division_cap * 1.15 } else { edge_width + pad };
    let count_cap = (most_room * 0.86).min((count_right - count_left) / content.count_width.max(1.9));
    // Height that the count has no width for gives the words of a track a line of their own, and the track the rest.
    let spare = most_room - count_cap / 0.86;
    let words_cap = (width / 11.0).min(height * 0.085);
    let apart = spare > words_cap * 1.5;
    let words_room = if apart { words_cap * 1.5 } else { 0.0 };
    let track_height = (height * 0.16 + (spare - words_room) * 0.6).min(width * 0.3).round();
    let track_top = height - bottom - track_height;
    let room = track_top - notch_room - under_name - between - words_room;
    let badge_height = room.min(place_cap * 1.9).round();
    let badge_top = (under_name + between + (room - badge_height) / 2.0).round();
    let middle = badge_top + badge_height / 2.0;
    let on_track = (track_height * 0.56).min(width / 15.0).min(34.0 * unit);
    let tag_cap = if apart { words_cap.min(track_height * 0.56) } else { on_track };
    RowMeasures {
        edge_width,
        lane_center,
        lane_middle: above + name_cap / 2.0,
        lane_cap: name_cap * 0.8,
        division: [0.0, name_cap * 0.1 + between + division_cap * 1.1],
        division_cap,
        name_middle: above + name_cap / 2.0,
        name_left,
        name_width: (width - pad - name_left).max(1.0),
        name_cap,
        name_least_cap: name_cap * 0.8,
        members_cap: if members { members_cap } else { 0.0 },
        members_baseline: (under_name).round(),
        track_left: (edge_width + pad).round(),
        track_right: (width - pad).round(),
        track_top,
        track_height,
        block_gap: (6.0 * unit).min(width * 0.012).round().max(1.0),
        notch: (notch_room * 0.7).min(14.0 * unit),
        tag_cap,
        beside_left: if apart { edge_width + pad } else { count_left },
        beside_middle: if apart { track_top - notch_room - tag_cap * 0.5 } else { middle },
        beside_apart: apart,
        count_left,
        count_right,
        count_middle: middle,
        count_cap,
        badge_left,
        badge_top,
        badge_height,
        place_cap,
        ..RowMeasures::new(frame, form)
    }
}
