//! Opening a lost device again: how soon, how often, and what people are told when the one that came back is slower.
//! Opens nothing itself.

use std::time::Duration;

use super::device::Gpu;

/// Tries in a row before the program gives up: with the wait between them some ten seconds, in which a driver has
/// been installed anew or has not.
const MAX_TRIES: u32 = 20;
/// Before the second try and each later one; the first is at once, for most losses are over by then.
const TRY_AGAIN_AFTER: Duration = Duration::from_millis(500);

/// Where the coming back of one output stands.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Comeback {
    tries: u32,
    /// The GPU that was drawn with, by name; none if it was software.
    gpu: Option<String>,
}

impl Comeback {
    /// Notes what is drawn with, and tells once if that is software in place of a GPU. True then.
    pub fn drawing_with(&mut self, gpu: &Gpu) -> bool {
        self.opened(&gpu.name, gpu.software)
    }

    fn opened(&mut self, name: &str, software: bool) -> bool {
        let before = self.gpu.take();
        if !software {
            self.gpu = Some(name.to_owned());
            return false;
        }
        if let Some(before) = &before {
            tracing::warn!(
                "the GPU {before} did not come back; the board goes on in software, with {name}, which may be \
                 slower. Start the display again once the GPU works"
            );
        }
        before.is_some()
    }

    /// The device is lost, or did not open: how long to wait before the next try. None: it is time to give up.
    pub fn next_try(&mut self) -> Option<Duration> {
        self.tries += 1;
        tracing::warn!(attempt = self.tries, "opening the graphics device again");
        match self.tries {
            1 => Some(Duration::ZERO),
            2..=MAX_TRIES => Some(TRY_AGAIN_AFTER),
            _ => None,
        }
    }

    /// A frame was drawn: the next loss is a new one.
    pub fn drawn(&mut self) {
        self.tries = 0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_try_is_at_once_and_the_last_one_ends_it() {
        let mut comeback = Comeback::default();
        assert_eq!(comeback.next_try(), Some(Duration::ZERO));
        for _ in 2..=MAX_TRIES {
            assert_eq!(comeback.next_try(), Some(TRY_AGAIN_AFTER));
        }
        assert_eq!(comeback.next_try(), None);
        comeback.drawn();
        assert_eq!(comeback.next_try(), Some(Duration::ZERO));
    }

    #[test]
    fn software_is_told_once_and_only_in_place_of_a_gpu() {
        let mut comeback = Comeback::default();
        assert!(!comeback.opened("software", true), "there was no GPU before");
        assert!(!comeback.opened("card", false));
        assert!(comeback.opened("software", true));
        assert!(!comeback.opened("software", true), "it was told");
    }
}
