//! The colours of a theme, by what they are for.

use crate::Color;

macro_rules! roles {
    ($($(#[$doc:meta])* $role:ident),+ $(,)?) => {
        /// Colours by role. All are opaque but `scrim`.
        #[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
        pub struct Colors {
            $($(#[$doc])* pub $role: Color,)+
        }

        /// A colour's role.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        #[allow(non_camel_case_types, missing_docs)]
        pub enum Role { $($role,)+ }

        impl Role {
            /// All roles.
            pub const ALL: &'static [Role] = &[$(Role::$role,)+];

            /// Its name, as theme files write it.
            #[must_use]
            pub fn name(self) -> &'static str {
                match self { $(Role::$role => stringify!($role),)+ }
            }
        }

        impl Colors {
            /// The colour of a role.
            #[must_use]
            pub fn get(&self, role: Role) -> Color {
                match role { $(Role::$role => self.$role,)+ }
            }

            /// Changes the colour of a role.
            pub fn set(&mut self, role: Role, color: Color) {
                match role { $(Role::$role => self.$role = color,)+ }
            }
        }
    };
}

roles! {
    /// Behind everything.
    background,
    /// A lane's row.
    row,
    /// The row of a lane without an athlete.
    row_empty,
    /// The row of a lane in its last five.
    row_last_five,
    /// The row of a finished lane.
    row_finished,
    /// The row of a lane that the cap stopped.
    row_capped,
    /// Main text.
    text,
    /// Text that matters less.
    text_dim,
    /// Text on the fills of states: bars, badges, plates.
    ink,
    /// The part of a track that is not done.
    track,
    /// Its outline; the same colour for none.
    track_edge,
    /// The bar of a racing lane.
    racing,
    /// Bar, badge and notch of first on floor.
    leading,
    /// Blocks, edge and words of the last five.
    last_five,
    /// Bar, badge and edge of a finished lane.
    finished,
    /// Bar, badge and edge of a capped lane.
    capped,
    /// Stripes over a capped bar.
    capped_stripe,
    /// Outline of a block of the last five that is still empty.
    block,
    /// Place badge of a lane without a colour of its own.
    badge,
    /// Plate of a tag over a track.
    tag,
    /// Plate of a no-rep.
    no_rep,
    /// What has passed of the time cap.
    cap_gone,
    /// What is left of the time cap.
    cap_left,
    /// Lies over the board behind a notice; with alpha.
    scrim,
    /// Plate of a notice, and of a state's name in the header.
    notice,
    /// Outline of a held heat's notice.
    held,
    /// Plate of a mark that something is wrong with the feed.
    alert,
}
