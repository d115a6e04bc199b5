//! A theme that is edited while it is on screen: looks at its files again and again, loads what was saved, and hands
//! it over if it passes every check. What fails is told, and the last good theme stays.
//!
//! It looks rather than waits to be told: a file system's own notices never come from a network folder, which is
//! where themes are shared between screens, and two looks a second at a dozen files cost nothing that can be seen.

use std::collections::BTreeSet;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::JoinHandle;
use std::time::{Duration, SystemTime};

use fivemark_themes::{LoadedTheme, MAX_THEME_BYTES, ThemeFault};

/// Between two looks. What was saved is loaded once it has stayed the same for one, so that most files are not read
/// while they are being written.
const LOOK_EVERY: Duration = Duration::from_millis(400);
/// Most files of the folder that are looked at: a theme has a dozen. Those beyond are passed over.
const MAX_FILES: usize = 256;
/// How deep folders within the folder are looked into; fonts lie in folders of their own.
const MAX_DEPTH: usize = 3;
/// Faults that are remembered as told, so that none is told twice; a theme has room for a few dozen.
const MAX_TOLD: usize = 1_000;

/// Watches one theme. Dropping it ends the watch.
#[derive(Debug)]
pub struct ThemeWatch {
    fresh: Arc<Mutex<Option<LoadedTheme>>>,
    stop: Option<Sender<()>>,
    thread: Option<JoinHandle<()>>,
}

impl ThemeWatch {
    /// Watches the files of a theme that was loaded from a folder; none for a bundled theme, which cannot change.
    /// `wake` is called when another theme is there to be taken.
    ///
    /// # Errors
    /// The system gives no thread.
    pub fn start(theme: &LoadedTheme, wake: impl Fn() + Send + 'static) -> io::Result<Option<Self>> {
        let Some(folder) = theme.folder().map(Path::to_owned) else { return Ok(None) };
        let fresh = Arc::new(Mutex::new(None));
        let (stop, stopped) = channel();
        let handed = Arc::clone(&fresh);
        let mut folder = Folder::new(folder);
        let look = move || {
            while stopped.recv_timeout(LOOK_EVERY) == Err(RecvTimeoutError::Timeout) {
                if let Some(theme) = folder.look() {
                    *handed.lock().unwrap_or_else(PoisonError::into_inner) = Some(theme);
                    wake();
                }
            }
        };
        let thread = std::thread::Builder::new().name("theme".into()).spawn(look)?;
        Ok(Some(Self { fresh, stop: Some(stop), thread: Some(thread) }))
    }

    /// The theme that was saved since the last time, if it is a good one.
    pub fn take(&self) -> Option<LoadedTheme> {
        self.fresh.lock().unwrap_or_else(PoisonError::into_inner).take()
    }
}

impl Drop for ThemeWatch {
    fn drop(&mut self) {
        self.stop = None;
        if let Some(thread) = self.thread.take()
            && thread.join().is_err()
        {
            tracing::error!("the thread that watches the theme stopped with a fault");
        }
    }
}

/// A theme's folder between two looks.
struct Folder {
    path: PathBuf,
    loaded: Traces,
    seen: Traces,
    told: BTreeSet<String>,
}

impl Folder {
    fn new(path: PathBuf) -> Self {
        let loaded = Traces::of(&path);
        Self { path, seen: loaded.clone(), loaded, told: BTreeSet::new() }
    }

    /// Loads the theme if its files have changed and are no longer changing.
    fn look(&mut self) -> Option<LoadedTheme> {
        let before = std::mem::replace(&mut self.seen, Traces::of(&self.path));
        if self.seen != before || self.seen == self.loaded {
            return None;
        }
        self.loaded.clone_from(&self.seen);
        match fivemark_themes::load(&self.path) {
            Ok(theme) => {
                self.told.clear();
                tracing::info!(theme = theme.name, "the theme was changed and is loaded anew");
                Some(theme)
            }
            Err(faults) => {
                self.tell(&faults);
                None
            }
        }
    }

    fn tell(&mut self, faults: &[ThemeFault]) {
        for fault in faults {
            let fault = fault.to_string();
            if self.told.len() < MAX_TOLD && self.told.insert(fault.clone()) {
                tracing::warn!("the theme that was saved can't be used, the one before stays: {fault}");
            }
        }
    }
}

/// What can be seen of a folder's files without reading all of them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Traces {
    /// The theme file itself: two saves within a tick of the file system's clock may leave it equally long.
    text: Option<Vec<u8>>,
    files: Vec<(PathBuf, u64, Option<SystemTime>)>,
}

impl Traces {
    fn of(folder: &Path) -> Self {
        let mut traces = Self::default();
        traces.add(folder, 0);
        traces.files.sort_unstable();
        let theme = traces.files.iter().find(|(path, bytes, _)| {
            path.parent() == Some(folder)
                && path.extension().is_some_and(|ending| ending == "toml")
                && usize::try_from(*bytes).is_ok_and(|bytes| bytes <= MAX_THEME_BYTES)
        });
        traces.text = theme.and_then(|(path, ..)| fs::read(path).ok());
        traces
    }

    fn add(&mut self, folder: &Path, depth: usize) {
        // A folder that can't be read now leaves no traces, which is a change; loading then says what is wrong.
        let Ok(entries) = fs::read_dir(folder) else { return };
        for entry in entries.flatten() {
            if self.files.len() >= MAX_FILES {
                return;
            }
            let Ok(about) = fs::metadata(entry.path()) else { continue };
            if about.is_dir() && depth < MAX_DEPTH {
                self.add(&entry.path(), depth + 1);
            } else if about.is_file() {
                self.files.push((entry.path(), about.len(), about.modified().ok()));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const DARK: &str = include_str!("../../themes/dark/theme.toml");

    /// Looks until the folder has been seen unchanged once.
    fn settled(folder: &mut Folder) -> Option<LoadedTheme> {
        assert!(folder.look().is_none(), "the first look after a change waits");
        folder.look()
    }

    #[test]
    fn a_good_save_is_loaded_once_and_a_broken_one_is_told_once() {
        let place = tempfile::tempdir().unwrap();
        let file = place.path().join("theme.toml");
        fs::write(&file, DARK).unwrap();
        let mut folder = Folder::new(place.path().to_owned());
        assert!(folder.look().is_none() && folder.look().is_none(), "nothing has changed");

        // As long as before, and within the same tick of most clocks.
        fs::write(&file, DARK.replace("#080A10", "#0A0810")).unwrap();
        let theme = settled(&mut folder).expect("a good theme");
        assert_eq!(theme.colors.background.0, [0x0A, 0x08, 0x10, 255]);
        assert!(folder.look().is_none(), "it is loaded once");

        fs::write(&file, &DARK[..DARK.len() / 2]).unwrap();
        assert!(settled(&mut folder).is_none());
        let told = folder.told.clone();
        assert!(!told.is_empty());
        fs::write(&file, &DARK[..DARK.len() / 2 + 1]).unwrap();
        assert!(settled(&mut folder).is_none());
        assert!(told.is_subset(&folder.told));

        fs::write(&file, DARK).unwrap();
        assert!(settled(&mut folder).is_some());
        assert!(folder.told.is_empty(), "the same fault would be told again after a good save");
    }

    #[test]
    fn a_folder_that_goes_away_and_comes_back_is_loaded_again() {
        let place = tempfile::tempdir().unwrap();
        let home = place.path().join("theme");
        fs::create_dir(&home).unwrap();
        fs::write(home.join("theme.toml"), DARK).unwrap();
        let mut folder = Folder::new(home.clone());
        fs::rename(&home, place.path().join("elsewhere")).unwrap();
        assert!(settled(&mut folder).is_none());
        assert!(folder.told.iter().any(|fault| fault.contains("theme.toml")), "{:?}", folder.told);
        fs::rename(place.path().join("elsewhere"), &home).unwrap();
        assert!(settled(&mut folder).is_some());
    }

    #[test]
    fn a_font_that_comes_later_mends_a_theme_that_lacked_it() {
        let place = tempfile::tempdir().unwrap();
        let mut folder = {
            fs::write(place.path().join("theme.toml"), DARK).unwrap();
            Folder::new(place.path().to_owned())
        };
        let text = DARK.replace("\"noto-sans/", "\"own/");
        fs::write(place.path().join("theme.toml"), text).unwrap();
        assert!(settled(&mut folder).is_none(), "the font is missing");
        fs::create_dir(place.path().join("own")).unwrap();
        let font = include_bytes!("../../themes/fonts/noto-sans/NotoSans-SemiBold.ttf");
        fs::write(place.path().join("own/NotoSans-SemiBold.ttf"), font).unwrap();
        assert!(settled(&mut folder).is_some());
    }

    #[test]
    fn a_picture_that_is_broken_is_told_with_its_line_and_a_mended_one_is_loaded() {
        let place = tempfile::tempdir().unwrap();
        let drawing = |inside: &str| {
            format!("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\">{inside}</svg>")
        };
        let sections = "[logo]\nfile = \"mark.svg\"\nheight = 90\nwidth = 90\n\n\
                        [background]\nfile = \"hall.svg\"\nlies = \"cover\"\nopacity = 500\n";
        let save = |name: &str, text: &str| fs::write(place.path().join(name), text).unwrap();
        save("theme.toml", &format!("{DARK}\n{sections}"));
        save("mark.svg", &drawing("<path d=\"M0 0h9v9z\"/>"));
        save("hall.svg", &drawing("<rect width=\"9\" height=\"9\"/>"));
        let line = |text: &str| {
            let at = format!("{DARK}\n{sections}").find(text).unwrap();
            format!("theme.toml:{}:", format!("{DARK}\n{sections}")[..at].matches('\n').count() + 1)
        };
        let mut folder = Folder::new(place.path().to_owned());
        for (name, broken, said) in [
            ("mark.svg", drawing("<text>Five</text>"), "it has a <text>"),
            ("hall.svg", drawing("<rect width=\"9\" height=\"9\" fill=\"white\"/>"), "has a contrast of"),
            ("hall.svg", "no picture at all".to_owned(), "picture `hall.svg` cannot be used"),
        ] {
            save(name, &broken);
            assert!(settled(&mut folder).is_none(), "{name}: {broken}");
            let at = line(&format!("\"{name}\""));
            let told = folder.told.iter().any(|fault| fault.contains(&at) && fault.contains(said));
            assert!(told, "{at} {said}: {:?}", folder.told);
            save(name, &drawing("<rect width=\"8\" height=\"9\"/>"));
            let theme = settled(&mut folder).expect("a good theme");
            assert!(theme.logo.is_some() && theme.backdrop.is_some());
        }
    }
}
