//! The units of time that the engine knows. All are whole milliseconds or microseconds; nothing here
//! reads a clock.

/// A moment on the feed's own timeline, in milliseconds since its journal was made.
///
/// The feed keeps this timeline on its boot-time clock and carries it over restarts; it never jumps with the
/// wall clock. Every input of the engine is stamped with it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct HeatMs(pub i64);

/// A span of time, in milliseconds: elapsed time, a time cap, a penalty.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SpanMs(pub i64);

/// A stamp of one page's monotonic clock, in milliseconds since an origin that only that page knows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MonoMs(pub i64);

impl HeatMs {
    /// The moment `span` later.
    #[must_use]
    pub fn plus(self, span: SpanMs) -> Self {
        Self(self.0.saturating_add(span.0))
    }

    /// The span from `earlier` to this moment; negative if `earlier` is the later one.
    #[must_use]
    pub fn since(self, earlier: Self) -> SpanMs {
        SpanMs(self.0.saturating_sub(earlier.0))
    }
}
