//! The colours that meet on overlays are among those that themes are checked for.

use fivemark_themes::check::{SHAPES, TEXTS};

use super::*;
use crate::board::tests::pairs::{Pairs, shape_pairs, text_pairs, told_apart};

#[test]
fn themes_are_checked_for_every_pair_that_meets() {
    let theme = told_apart();
    let (mut found_texts, mut found_shapes) = (Pairs::new(), Pairs::new());
    for seed in 0..120 {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let (mut view, feed_ms) = heat(seed);
        let lanes = u8::try_from(view.snapshot.entries.len()).expect("at most 40");
        view.snapshot.shows.overlay = all(rng.random_range(1..=lanes), rng.random_range(1..=lanes));
        view.snapshot.journal_ok = seed % 7 > 0;
        let link = if seed % 5 == 0 { Link::Lost { age_ms: 3_000 } } else { Link::Live };
        let mut overlay = Overlay::new(Rc::clone(&theme), [1920, 1080], Motion::Reduced);
        overlay.frame(Some(&view), link, times(feed_ms, 0));
        let later = changed(&view, feed_ms, &mut rng);
        let list = overlay.frame(Some(&later), link, times(feed_ms, 1_000_000)).clone();
        text_pairs(&theme, &list, &mut found_texts);
        shape_pairs(&theme, &list, &mut found_shapes);
    }
    let named = |pairs: &[(fivemark_themes::Role, fivemark_themes::Role)]| {
        pairs.iter().map(|(a, b)| (a.name(), b.name())).collect::<Pairs>()
    };
    let differ = |found: &Pairs, listed: &Pairs| found.difference(listed).copied().collect::<Vec<_>>();
    assert_eq!(differ(&found_texts, &named(TEXTS)), []);
    assert_eq!(differ(&found_shapes, &named(SHAPES)), []);
    assert!(found_texts.len() > 12 && found_shapes.len() > 10, "enough was looked at");
}
